package part_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/part"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// The name of a program says all of its part, and only one name says it.
func TestNames(t *testing.T) {
	for name, want := range map[string]part.Part{
		"3-slate-from-61.nc":                {From: 61, To: 134},
		"3-slate-from-61-at-40.nc":          {From: 61, To: 134, At: 400},
		"3-slate-from-61-at-37.5-to-80.nc":  {From: 61, To: 80, At: 375},
		"3-slate-from-1-at-0.1-to-1.nc":     {From: 1, To: 1, At: 1},
		"3-slate-from-061.nc":               {},
		"3-slate-from-61-at-40.0.nc":        {},
		"3-slate-from-61-to-134.nc":         {}, // without the end it means the same
		"3-slate-from-61-at-0.nc":           {},
		"3-slate-from-81-to-80.nc":          {},
		"3-slate-from-61-to-135.nc":         {},
		"3-slate-from-61-to-80-at-40.nc":    {},
		"3-slate-from--1.nc":                {},
		"3-slate.nc":                        {},
		"3-slate-from-.nc":                  {},
		"4-slate-from-61.nc":                {},
		"3-slate-from-99999999999999999.nc": {},
	} {
		got, ok := part.ParseFile(name, "3-slate.nc", 134)
		if ok != (want != part.Part{}) || ok && got != want {
			t.Errorf("%s: %+v, %v", name, got, ok)
		}
	}
}

func FuzzParseFile(f *testing.F) {
	for _, name := range []string{"3-slate-from-61.nc", "3-slate-from-61-at-37.5-to-80.nc", "3-slate-from-9-to-.nc", "3-slate-from-1-at--to-2.nc"} {
		f.Add(name, "3-slate.nc", 134)
	}
	f.Add("a-from-1-from-2-to-3", "a-from-1", 3)
	f.Fuzz(func(t *testing.T, name, program string, last int) {
		p, ok := part.ParseFile(name, program, last)
		if !ok {
			return
		}
		if !p.Valid(last) || p.FileName(program, last) != name {
			t.Errorf("%q of %q and %d strokes: %+v, named %q", name, program, last, p, p.FileName(program, last))
		}
	})
}

// Every part of every layer is read back from its name, whatever the layer is called.
func TestNamesProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		last := rapid.IntRange(1, part.Most).Draw(t, "last")
		p := part.Part{From: rapid.IntRange(1, last).Draw(t, "from"), At: rapid.IntRange(0, 999).Draw(t, "at")}
		p.To = rapid.IntRange(p.From, last).Draw(t, "to")
		program := rapid.StringMatching(`[1-9]-(from|to|at|-|[a-z]|[0-9]){1,12}\.nc`).Draw(t, "program")
		if got, ok := part.ParseFile(p.FileName(program, last), program, last); !ok || got != p {
			t.Errorf("%s is read as %+v, %v", p.FileName(program, last), got, ok)
		}
	})
}

// gesture is a way in steps of at least 1 mm with marks of up to 3 mm.
func gesture(t *rapid.T) stroke.Gesture {
	var g stroke.Gesture
	x, y := 0.0, 0.0
	for range rapid.IntRange(2, 9).Draw(t, "points") {
		var p stroke.Point
		p.X, p.Y = int32(math.Round(x*plane.PerMM)), int32(math.Round(y*plane.PerMM))
		p.Width = rapid.Float64Range(0.1, 3).Draw(t, "width")
		p.Press = p.Width
		g.Points = append(g.Points, p)
		angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
		step := rapid.Float64Range(1, 20).Draw(t, "step")
		x, y = x+step*math.Cos(angle), y+step*math.Sin(angle)
	}
	return g
}

// What is begun and what is left make the whole stroke: the lengths add up to it and
// to a lap of one width at most, and both ends stay where they are.
func TestPartsOfAStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := gesture(t)
		whole := part.Length(g.Points)
		done := whole * rapid.Float64Range(0.01, 0.99).Draw(t, "share")
		begun, rest := part.Beginning(g, done), part.Rest(g, done)
		lap := part.Length(begun.Points) + part.Length(rest.Points) - whole
		if most := part.WidthAt(g.Points, done); lap < -0.001 || lap > max(most, done)+0.001 || lap > most+0.001 && part.Length(rest.Points) < whole-0.001 {
			t.Errorf("a lap of %g mm where the mark is %g mm wide, after %g of %g mm", lap, most, done, whole)
		}
		if d := math.Abs(part.Length(begun.Points) - done); d > 0.001 {
			t.Errorf("%g mm are begun, want %g", part.Length(begun.Points), done)
		}
		if begun.Points[0] != g.Points[0] || rest.Points[len(rest.Points)-1] != g.Points[len(g.Points)-1] {
			t.Error("the stroke begins or ends elsewhere")
		}
	})
}
