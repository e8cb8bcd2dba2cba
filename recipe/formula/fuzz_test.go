package formula_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

func seeds(f *testing.F) {
	for _, name := range []string{"testdata/working.md", "testdata/wrong.md"} {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			if _, text, ok := strings.Cut(strings.TrimRight(line, "\n"), " = "); ok {
				f.Add(text)
			}
		}
	}
	for _, text := range []string{"", "((((", "2 ± 0.1", "2²", "²", "a ?: b", "1 < 2 < 3", "é·2", "\xff", "2*mm + tremor(1, along*mm)", "0x1p-2", "1e", "a.b.c", "not not true"} {
		f.Add(text)
	}
}

// For any text: nothing panics, every place lies in it, it
// gives a finite value or a problem, and the working is well formed.
func FuzzFormula(f *testing.F) {
	seeds(f)
	scope := fineSable(f)
	f.Fuzz(func(t *testing.T, text string) {
		file := source.New("a.md", []byte("x = "+text+"\n"))
		at := file.Place(4, 4+len(text))
		check := func(list problem.List) {
			for _, p := range list {
				if p.Code == "" || p.Message == "" || p.Fix.None() || p.Place.Start < at.Start || p.Place.End > at.End || p.Place.Start > p.Place.End || len(p.Message) > 1000 {
					t.Fatalf("%q: %+v", text, p)
				}
			}
		}
		one, list := formula.Parse("x", text, at)
		other, _ := formula.Parse("half_width", "fine_sable.widest_mark / 2", file.Place(0, 0))
		check(list)
		results, more := formula.Evaluate([]*formula.Formula{one, other}, scope, 1)
		check(more)
		if results[0].OK == (len(list)+len(more) > 0) {
			t.Fatalf("%q: %v with %v %v", text, results[0].Value, list, more)
		}
		if !results[0].OK {
			return
		}
		if q, ok := results[0].Value.Quantity(); ok && (math.IsInf(q.Number(), 0) || math.IsNaN(q.U(q.Unit()))) {
			t.Fatalf("%q is %v ± %v", text, q.Number(), q.U(q.Unit()))
		}
		w := results[0].Working
		for _, m := range []string{w.FormulaMath, w.FilledMath, w.ResultMath, w.NameMath} {
			if err := wellFormed(m); err != nil {
				t.Fatalf("%q: %v\n%s", text, err, m)
			}
		}
	})
}

// The same for the width of a stroke.
func FuzzAlong(f *testing.F) {
	seeds(f)
	for _, text := range []string{"0.4*mm + 2*mm*sin(180*deg*along)", "bend*from_start^2 + tremor(1, 1*mm, length)", "along < 0.5 ? 1*mm : width_at(fine_sable, from_start)"} {
		f.Add(text)
	}
	scope := fineSable(f)
	f.Fuzz(func(t *testing.T, text string) {
		file := source.New("a.md", []byte(text))
		a, list := formula.CompileWidth(text, file.Place(0, len(text)), scope)
		if (a == nil) != (len(list) > 0) {
			t.Fatalf("%q: %v", text, list)
		}
		if a == nil {
			return
		}
		for _, p := range [][4]float64{{0, 0, 0, 0}, {0.5, 30, 60, -0.1}, {1, 60, 60, 0.3}} {
			w, err := a.WidthAt(0, p[0], p[1], p[2], p[3])
			if err == nil && (math.IsNaN(w) || math.IsInf(w, 0)) {
				t.Fatalf("%q at %v is %v", text, p, w)
			}
		}
	})
}

// The same for the feed of a stroke.
func FuzzFeed(f *testing.F) {
	seeds(f)
	for _, text := range []string{"900*mm/min * (1 - 0.3*press/fine_sable.safe_press)", "greatest(150*mm/min, width/(1*s) - abs(bend)*1*mm^2/s)", "along < 0.5 ? 1*mm/s : press/min"} {
		f.Add(text)
	}
	scope := fineSable(f)
	f.Fuzz(func(t *testing.T, text string) {
		file := source.New("a.md", []byte(text))
		a, list := formula.CompileFeed(text, file.Place(0, len(text)), scope)
		if (a == nil) != (len(list) > 0) {
			t.Fatalf("%q: %v", text, list)
		}
		if a == nil {
			return
		}
		for _, p := range [][4]float64{{0, 0.2, 0, 0}, {2, 1.2, -0.1, 0.5}, {5, 2.4, 6, 1}} {
			feed, err := a.FeedAt(p[0], p[1], p[2], p[3])
			if err == nil && (math.IsNaN(feed) || math.IsInf(feed, 0)) {
				t.Fatalf("%q at %v is %v", text, p, feed)
			}
		}
	})
}
