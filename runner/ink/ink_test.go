package ink_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/ink"
	"mahlstick/runner/part"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

func layer(t testing.TB, holds model.Load) *model.Layer {
	curve, err := brush.Taper(4, 8, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	return &model.Layer{Name: "reeds", Tolerance: 0.02, Brush: &model.Brush{Curve: curve, SafePress: 8, Holds: holds}}
}

// line is a straight stroke in mm whose width goes evenly from point to point, all
// equally far apart.
func line(l *model.Layer, y, length float64, widths ...float64) stroke.Gesture {
	g := stroke.Gesture{Kind: stroke.Line}
	for i, w := range widths {
		press, _ := l.Brush.Curve.PressFor(w)
		p := plane.At(20+length*float64(i)/float64(max(1, len(widths)-1)), y)
		g.Points = append(g.Points, stroke.Point{X: p.X, Y: p.Y, Press: press, Width: w})
	}
	return g
}

// The area of a tapering stroke is that of a trapezium and half a disc at each end.
func TestPainted(t *testing.T) {
	l := layer(t, model.Load{Area: 1})
	got := ink.Painted(line(l, 50, 30, 1, 3).Points)
	if want := 30*(1.0+3)/2 + math.Pi/8*(1+9); math.Abs(got.Area-want) > 1e-9 || math.Abs(got.Length-30) > 1e-9 {
		t.Errorf("%+v, want %g mm² on 30 mm", got, want)
	}
	if dot := ink.Painted(line(l, 50, 0, 2).Points); math.Abs(dot.Area-math.Pi) > 1e-9 || dot.Length != 0 {
		t.Errorf("a dot of 2 mm: %+v", dot)
	}
}

// Four strokes of 42 mm with loads of 100 mm: two to a load. A stroke of 160 mm
// is divided where it is thin.
func TestLoads(t *testing.T) {
	l := layer(t, model.Load{Length: 100})
	strokes := []stroke.Gesture{line(l, 20, 42, 1, 1), line(l, 30, 42, 1, 1), line(l, 40, 42, 1, 1), line(l, 50, 42, 1, 1)}
	out, use, problems := ink.Plan(strokes, l)
	if len(problems) > 0 || len(out) != 4 || !slices.Equal(use.Reloads(), []int{3}) || len(use.Divided) != 0 {
		t.Fatalf("%+v, %v", use, problems)
	}
	long := line(l, 60, 160, 2, 2, 2, 2, 0.5, 2, 2, 2, 2) // thin at 80 mm
	out, use, _ = ink.Plan([]stroke.Gesture{long}, l)
	if len(out) != 2 || !slices.Equal(use.Divided, []int{2}) || !slices.Equal(use.Reloads(), []int{2}) {
		t.Fatalf("%d parts, %+v", len(out), use)
	}
	if d := part.Length(out[0].Points); math.Abs(d-80) > 0.25 {
		t.Errorf("divided at %g mm, want 80 mm", d)
	}
	if !out[0].Unfinished || out[0].Begun || out[1].Unfinished || !out[1].Begun {
		t.Errorf("%+v", out)
	}
	if _, use, _ := ink.Plan(strokes, layer(t, model.Load{})); use != nil {
		t.Error("loads of a brush that does not say what it holds")
	}
	if _, _, problems := ink.Plan(strokes, layer(t, model.Load{Area: 3})); len(problems) != 1 || problems[0].Code != problem.SmallLoad {
		t.Error(problems)
	}
}

// Random strokes with random loads: no load paints more than it holds, no load is
// followed by another where both could have been one, and all of each stroke is
// painted, with laps of at most one width.
func TestLoadsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		holds := model.Load{Length: rapid.Float64Range(20, 300).Draw(t, "length")}
		if rapid.Bool().Draw(t, "by area") {
			holds = model.Load{Area: rapid.Float64Range(70, 900).Draw(t, "area")}
		}
		var lt testing.T
		l := layer(&lt, holds)
		if rapid.Bool().Draw(t, "concealed") {
			l.Entries = model.Concealed
		}
		var strokes []stroke.Gesture
		for i := range rapid.IntRange(1, 12).Draw(t, "strokes") {
			widths := rapid.SliceOfN(rapid.Float64Range(0.3, 3.9), 1, 8).Draw(t, "widths")
			strokes = append(strokes, line(l, float64(10+10*i), rapid.Float64Range(1, 180).Draw(t, "way"), widths...))
		}
		out, use, problems := ink.Plan(strokes, l)
		if len(problems) > 0 {
			if problems[0].Code == problem.SmallLoad {
				return
			}
			t.Fatal(problems)
		}
		fits := func(a model.Load) bool {
			return holds.Area > 0 && a.Area <= holds.Area || holds.Length > 0 && a.Length <= holds.Length
		}
		for _, load := range use.Loads {
			if !fits(load.Load) {
				t.Fatalf("a load paints %+v of %+v", load.Load, holds)
			}
		}
		checkParts(t, strokes, out, use)
	})
}

// checkParts puts the parts of each stroke together again.
func checkParts(t *rapid.T, strokes, out []stroke.Gesture, use *ink.Use) {
	k := 0
	for _, g := range strokes {
		end, length := 0.0, part.Length(g.Points)
		first := g.Points[0].Plane()
		for i := 0; ; i++ {
			if k == len(out) {
				t.Fatal("a stroke is missing")
			}
			p := out[k]
			k++
			if slices.Contains(use.Divided, k) != (i > 0) {
				t.Fatalf("stroke %d: divided %v", k, use.Divided)
			}
			from := plane.Distance(first, p.Points[0].Plane()) / plane.PerMM
			if lap := end - from; lap < -0.001 || i > 0 && lap > 0.001+part.WidthAt(g.Points, end) {
				t.Fatalf("stroke %d laps by %g mm, where it is %g mm wide", k, lap, part.WidthAt(g.Points, end))
			}
			end = plane.Distance(first, p.Points[len(p.Points)-1].Plane()) / plane.PerMM
			if !p.Unfinished {
				break
			}
		}
		if math.Abs(end-length) > 0.001 {
			t.Fatalf("a stroke of %g mm ends at %g mm", length, end)
		}
	}
	if k != len(out) {
		t.Fatal("a stroke too many")
	}
}

// A stroke that ends bluntly has painted, where it is widest, more than in all: with
// half a disc of 4 mm before it, 2 pi mm² more than its way, of which a taper of 0.5 mm
// to a point fills 1 mm².
func TestAheadOfABluntEnd(t *testing.T) {
	at := func(x, width float64) stroke.Point {
		var p stroke.Point
		p.X, p.Width = int32(math.Round(x*plane.PerMM)), width
		return p
	}
	blunt := []stroke.Point{at(0, 0), at(20, 4), at(20.5, 0)}
	if got := ink.Ahead(blunt); math.Abs(got-(2*math.Pi-1)) > 1e-9 {
		t.Errorf("%g mm², want %g", got, 2*math.Pi-1)
	}
	if got := ink.Ahead([]stroke.Point{at(0, 0), at(20, 4), at(40, 0)}); got != 0 {
		t.Errorf("%g mm² before a long taper", got)
	}
}
