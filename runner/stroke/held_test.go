package stroke_test

import (
	"math"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// keeping is a layer whose brush keeps a reserve (mm): twice the press is the
// width.
func keeping(widest, reserve float64) *model.Layer {
	l := layerWith(0, widest)
	l.Brush.Reserve = reserve
	return l
}

// Places between what the deepest press paints and the widest mark: one gesture
// at that press, listed with what pixels find bare.
func TestHeldBack(t *testing.T) {
	const widest, reserve = 5.5, 0.25 // paints 5.0 mm
	for name, tt := range map[string]struct {
		rings  [][]plane.Point
		mains  int
		places int
		width  float64
	}{
		"bar":                  {[][]plane.Point{ring(0, 0, 60, 0, 60, 5.4, 0, 5.4)}, 1, 1, 5.4},
		"capsule":              {[][]plane.Point{capsule(0, 0, 2.7, 40, 0, 2.7)}, 1, 1, 5.4},
		"taper":                {[][]plane.Point{capsule(0, 0, 2.7, 40, 0, 1)}, 1, 1, 5.4},
		"disc":                 {[][]plane.Point{disc(0, 0, 2.7)}, 1, 1, 5.4},
		"ring":                 {[][]plane.Point{disc(0, 0, 12.65), disc(0, 0, 7.35)}, 1, 1, 5.3},
		"two swellings":        {[][]plane.Point{ring(0, -1, 10, -2.7, 20, -1, 30, -2.6, 40, -1, 40, 1, 30, 2.6, 20, 1, 10, 2.7, 0, 1)}, 1, 2, 5.4},
		"within the tolerance": {[][]plane.Point{ring(0, 0, 60, 0, 60, 5.005, 0, 5.005)}, 1, 0, 0},
		"narrow enough":        {[][]plane.Point{ring(0, 0, 60, 0, 60, 4.9, 0, 4.9)}, 1, 0, 0},
	} {
		l := keeping(widest, reserve)
		drawn := regionsOf(tt.rings...)
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		pressed(t, p, l)
		if n := p.Count(stroke.Main); n != tt.mains || p.Count(stroke.Lane) > 0 {
			t.Errorf("%s: %d strokes and %d lanes", name, n, p.Count(stroke.Lane))
		}
		places, greatest := heldBack(p)
		if places != tt.places || places == 1 && math.Abs(greatest-tt.width) > 0.02 {
			t.Errorf("%s: %d places are held back, want %d: %+v", name, places, tt.places, p.Remarks)
		}
		covered, _, all := area(drawn.Regions, p.Gestures, widthOf(l), 0.02)
		// Touches into corners cover some of it.
		if bare := all - covered; math.Abs(p.Refused[stroke.HeldBack]-bare) > 0.3+0.06*bare {
			t.Errorf("%s: %.2f mm² held back, in pixels %.2f of %.2f bare", name, p.Refused[stroke.HeldBack], bare, all)
		}
		if deepest := deepestOf(p); deepest > l.Brush.DeepestPress()+1e-9 {
			t.Errorf("%s: pressed %g mm, at most %g", name, deepest, l.Brush.DeepestPress())
		}
	}
}

// heldBack counts the places that are held back, with the greatest width in mm.
func heldBack(p *stroke.Plan) (places int, greatest float64) {
	for _, r := range p.Remarks {
		if r.Reason == stroke.HeldBack {
			places++
			greatest = max(greatest, r.Width)
		}
	}
	return places, greatest
}

// deepestOf is the deepest press of a plan in mm.
func deepestOf(p *stroke.Plan) float64 {
	deepest := 0.0
	for _, g := range p.Gestures {
		for _, q := range g.Points {
			deepest = max(deepest, q.Press)
		}
	}
	return deepest
}

// What is wider than the widest mark is filled with lanes at the deepest press,
// and a place of it that is hardly wider hangs on to that; one by itself is held
// back.
func TestHeldBackBesideLanes(t *testing.T) {
	l := keeping(5.5, 0.25)
	// A square of 12 mm with a bar of 5.3 mm on it, and beyond a neck a bar of
	// 5.3 mm by itself.
	shape := ring(0, 0, 12, 0, 12, 3.35, 40, 3.35, 40, 5, 44, 5, 44, 3.35, 70, 3.35, 70, 8.65, 44, 8.65, 44, 7, 40, 7, 40, 8.65, 12, 8.65, 12, 12, 0, 12)
	drawn := regionsOf(shape)
	p := plan(t, stroke.Drawn{Closed: drawn}, l)
	pressed(t, p, l)
	lanes := p.Count(stroke.Lane)
	if lanes == 0 || widestOf(p) > 5+1e-6 {
		t.Errorf("%d lanes, the widest mark %g mm", lanes, widestOf(p))
	}
	held := 0
	for _, r := range p.Remarks {
		if r.Reason == stroke.HeldBack {
			held++
			if x, _ := r.At.MM(); x < 44 {
				t.Errorf("held back at x = %g mm", x)
			}
		}
	}
	if held != 1 {
		t.Errorf("%d places are held back: %+v", held, p.Remarks)
	}
	covered, spilt, all := area(drawn.Regions, p.Gestures, widthOf(l), 0.02)
	if bare := all - covered; math.Abs(bare-p.Refused[stroke.HeldBack]) > 0.5 || spilt > 0.002*all {
		t.Errorf("%.2f mm² bare, %.2f held back, %.2f outside", bare, p.Refused[stroke.HeldBack], spilt)
	}
}

// An open line that grows from 4 to 5.4 mm is held back from 5 mm on; one that grows
// on is filled from there. By the areas of strips.
func TestLinesHeldBack(t *testing.T) {
	l := keeping(5.5, 0.25)
	growing := func(to float64) *stroke.Plan {
		line := stroke.OpenLine{Points: ring(0, 0, 28, 0), Widths: []float64{4, to}}
		return plan(t, stroke.Drawn{Lines: []stroke.OpenLine{line}}, l)
	}
	p := growing(5.4)
	// Beside 5 mm: 8 mm with 0 to 0.4, and half a ring of 2.7 and 2.5 mm.
	if want := 1.6 + math.Pi/2*(2.7*2.7-6.25); len(p.Remarks) != 1 || math.Abs(p.Remarks[0].Length-8) > 0.1 || math.Abs(p.Remarks[0].Area-want) > 0.1 {
		t.Errorf("%+v, want %.2f mm² bare", p.Remarks, want)
	}
	if widestOf(p) > 5+1e-6 || p.Count(stroke.Lane) > 0 {
		t.Errorf("the widest mark is %g mm, %d lanes", widestOf(p), p.Count(stroke.Lane))
	}
	if p := growing(6); len(p.Remarks) > 0 || p.Count(stroke.Lane) == 0 || widestOf(p) > 5+1e-6 {
		t.Errorf("%+v, %d lanes", p.Remarks, p.Count(stroke.Lane))
	}
	dab := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{{Points: ring(5, 5), Widths: []float64{5.3}}}}, l)
	if len(dab.Remarks) != 1 || dab.Remarks[0].Reason != stroke.HeldBack || math.Abs(dab.Remarks[0].Area-math.Pi/4*(5.3*5.3-25)) > 0.01 {
		t.Errorf("%+v", dab.Remarks)
	}
}
