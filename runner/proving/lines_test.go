package proving

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

type bars struct{}

// WidthAt is 1 mm and 3 mm in turns of 0.3 mm.
func (bars) WidthAt(_ int, _, fromStart, _, _ float64) (float64, error) {
	return 1 + 2*math.Mod(math.Floor(fromStart/0.3), 2), nil
}

// widthAt is the width of a gesture along X where it crosses x mm.
func widthAt(g stroke.Gesture, x float64) float64 {
	for i := 1; i < len(g.Points); i++ {
		a, b := g.Points[i-1], g.Points[i]
		if from, to := plane.MM(a.X), plane.MM(b.X); from <= x && x <= to && to > from {
			return a.Width + (x-from)/(to-from)*(b.Width-a.Width)
		}
	}
	return math.NaN()
}

// The widths that a layer asks for are found to the proof's own step, whatever
// package stroke makes of them: a formula with narrow bars, drawn widths, and the
// entry and exit of the brush.
func TestAsked(t *testing.T) {
	curve, err := brush.Taper(4, 8, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	ring := []plane.Point{plane.At(0, 0), plane.At(10, 0), plane.At(10, 0), plane.At(30, 0)}
	for name, c := range map[string]struct {
		widths      model.WidthFunc
		drawn       []float64
		entry, exit float64
		want        map[float64]float64
	}{
		"bars":           {bars{}, nil, 0, 0, map[float64]float64{0.28: 1, 0.32: 3, 0.58: 3, 0.62: 1, 29.65: 1, 29.73: 3}},
		"drawn":          {nil, []float64{1, 3, 3, 1}, 0, 0, map[float64]float64{0: 1, 5: 2, 10: 3, 20: 2, 30: 1}},
		"entry and exit": {nil, []float64{2.2, 2.2, 2.2, 2.2}, 2, 4, map[float64]float64{0: 0.2, 1: 1.2, 2: 2.2, 15: 2.2, 26: 2.2, 28: 1.2, 30: 0.2}},
	} {
		layer := &model.Layer{Width: c.widths, Brush: &model.Brush{Curve: curve, SafePress: 8, Entry: c.entry, Exit: c.exit}}
		got, err := linesAsDrawn([]stroke.OpenLine{{Points: ring, Widths: c.drawn}, {}}, layer)
		if err != nil || len(got) != 1 {
			t.Fatalf("%s: %d lines, %v", name, len(got), err)
		}
		for x, want := range c.want {
			if w := widthAt(got[0], x); math.Abs(w-want) > 0.01 {
				t.Errorf("%s: %g mm wide at %g mm, want %g", name, w, x, want)
			}
		}
		if name != "bars" && len(got[0].Points) > 12 {
			t.Errorf("%s: %d points for what changes evenly", name, len(got[0].Points))
		}
	}
}
