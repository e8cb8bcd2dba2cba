package stroke_test

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

type formula func(along, fromStart, length, bend float64) (float64, error)

func (f formula) WidthAt(_ int, along, fromStart, length, bend float64) (float64, error) {
	return f(along, fromStart, length, bend)
}

// widthAlong is the width of a gesture's mark where it crosses x mm.
func widthAlong(g stroke.Gesture, width func(float64) float64, x float64) float64 {
	for i := 1; i < len(g.Points); i++ {
		a, b := g.Points[i-1], g.Points[i]
		if xa, xb := plane.MM(a.X), plane.MM(b.X); xa <= x && x <= xb {
			return width(a.Press + (x-xa)/(xb-xa)*(b.Press-a.Press))
		}
	}
	return math.NaN()
}

func TestLineWidths(t *testing.T) {
	l := layerWith(0.2, 4)
	line := stroke.OpenLine{Points: ring(0, 0, 10, 0, 10, 0, 30, 0), Widths: []float64{1, 3, 3, 1}, Identity: contour.Identity{Shape: 5}}
	p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{line}}, l)
	if len(p.Gestures) != 1 || p.Gestures[0].Kind != stroke.Line || p.Gestures[0].Shape != 5 || len(p.Remarks) > 0 {
		t.Fatalf("%+v", p)
	}
	for x, want := range map[float64]float64{0: 1, 5: 2, 10: 3, 20: 2, 30: 1} {
		if w := widthAlong(p.Gestures[0], widthOf(l), x); math.Abs(w-want) > 0.011 {
			t.Errorf("at %g mm: %g wide, want %g", x, w, want)
		}
	}
	// The discs reach over the strip of 60 mm² at its ends and where it is widest.
	b := newBitmap(-2, -2, 32, 2, 0.01)
	b.paint(p.Gestures[0], widthOf(l))
	if pixels := float64(b.count()) * 1e-4; math.Abs(p.Drawn-pixels) > 0.05 || p.Drawn < 60+math.Pi/4 {
		t.Errorf("drawn %g mm², in pixels %g", p.Drawn, pixels)
	}
}

func TestLineFormula(t *testing.T) {
	l := layerWith(0.2, 4)
	l.Width = formula(func(along, from, length, bend float64) (float64, error) {
		return 0.5 + 3*along*(1-along)*4*length/40 + 0*from + 0*bend, nil
	})
	l.Brush.Entry, l.Brush.Exit = 2, 4
	p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{{Points: ring(0, 0, 40, 0)}}}, l)
	for _, x := range []float64{3, 10, 20, 30, 35} {
		want := 0.5 + 12*x/40*(1-x/40)
		if w := widthAlong(p.Gestures[0], widthOf(l), x); math.Abs(w-want) > 0.011 {
			t.Errorf("at %g mm: %g wide, want %g", x, w, want)
		}
	}
	for x, want := range map[float64]float64{0: 0.2, 40: 0.2, 1: 0.2 + (0.5+12*1./40*39/40-0.2)/2, 38: 0.2 + (0.5+12*2./40*38/40-0.2)/2} {
		if w := widthAlong(p.Gestures[0], widthOf(l), x); math.Abs(w-want) > 0.011 {
			t.Errorf("at %g mm: %g wide, want %g", x, w, want)
		}
	}
	if len(p.Remarks) > 0 {
		t.Errorf("%v", p.Remarks)
	}
}

// TestWidthJumps: a mark changes its width where the formula does, to a grid
// step or two, however short the place.
func TestWidthJumps(t *testing.T) {
	for name, tt := range map[string]struct {
		width formula
		want  map[float64]float64
	}{
		"one jump": {func(along, _, _, _ float64) (float64, error) {
			if along < 1./3 {
				return 1, nil
			}
			return 2, nil
		}, map[float64]float64{9.999: 1, 10.001: 2}},
		"bars of 0.5 mm": {func(_, from, _, _ float64) (float64, error) {
			return 1 + math.Mod(math.Floor(from/0.5), 2), nil
		}, map[float64]float64{0.499: 1, 0.501: 2, 0.999: 2, 1.001: 1, 29.499: 1, 29.501: 2}},
		"a peak of 0.2 mm": {func(_, from, _, _ float64) (float64, error) {
			return max(1, 2-10*math.Abs(from-7.02)), nil
		}, map[float64]float64{6.91: 1, 6.97: 1.5, 7.02: 2, 7.07: 1.5, 7.13: 1}},
		"ripples of 0.3 mm": {func(_, from, _, _ float64) (float64, error) {
			return 1.5 + 0.2*math.Sin(2*math.Pi*from/0.3), nil
		}, map[float64]float64{0.075: 1.7, 0.225: 1.3, 0.3: 1.5, 29.925: 1.3}},
	} {
		l := layerWith(0.2, 4)
		l.Width = tt.width
		p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{{Points: ring(0, 0, 30, 0)}}}, l)
		for x, want := range tt.want {
			if w := widthAlong(p.Gestures[0], widthOf(l), x); math.Abs(w-want) > 0.011 {
				t.Errorf("%s: at %g mm %g wide, want %g", name, x, w, want)
			}
		}
	}
}

// TestBend: a formula sees the curvature, positive to the left.
func TestBend(t *testing.T) {
	for _, tt := range []struct {
		from, to float64 // degrees, radius 8 mm
		want     float64
	}{{0, 180, 0.125}, {180, 0, -0.125}} {
		l := layerWith(0.2, 4)
		seen := 0.0
		l.Width = formula(func(_, _, _, bend float64) (float64, error) {
			if math.Abs(bend-tt.want) > math.Abs(seen-tt.want) || seen == 0 {
				seen = bend
			}
			return 1, nil
		})
		plan(t, stroke.Drawn{Lines: []stroke.OpenLine{{Points: ring(arcOf(0, 0, 8, tt.from, tt.to)...)}}}, l)
		if math.Abs(seen-tt.want) > 0.005 {
			t.Errorf("bend %g, want %g", seen, tt.want)
		}
	}
}

func TestLineBeyondTheBrush(t *testing.T) {
	for _, hairlines := range []bool{true, false} {
		l := layerWith(0.4, 2)
		l.Hairlines = hairlines
		line := stroke.OpenLine{Points: ring(0, 0, 10, 0, 20, 0, 30, 0), Widths: []float64{3, 1, 0.1, 1}}
		p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{line}}, l)
		got := fmt.Sprint(len(p.Gestures))
		for _, r := range p.Remarks {
			got += fmt.Sprintf(" %v: %.2f mm², %.2f mm, %.2f wide;", r.Reason, r.Area, r.Length, r.Width)
		}
		want := "2 too thin: 0.00 mm², 6.67 mm, 0.25 wide;" // a lane and the line
		if !hairlines {
			want = "3 too thin: 1.54 mm², 6.67 mm, 0.25 wide;"
		}
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
		pressed(t, p, l)
	}
}

// TestWideLines fills lines wider than the brush over the area that they sweep.
func TestWideLines(t *testing.T) {
	var wave, spiral []float64
	var growing []float64
	for i := range 121 {
		s, c := math.Sincos(float64(i) / 8)
		wave = append(wave, float64(i)/2, 12*s)
		spiral = append(spiral, 40+(4+float64(i)/5)*c, 40+(4+float64(i)/5)*s)
		growing = append(growing, 0.5+float64(i)/8)
	}
	all := func(n int, width float64) []float64 { return slices.Repeat([]float64{width}, n) }
	for name, line := range map[string]stroke.OpenLine{
		"bar":                {Points: ring(0, 0, 40, 0), Widths: all(2, 9)},
		"corner":             {Points: ring(0, 0, 40, 0, 5, 20), Widths: all(3, 9)},
		"there and back":     {Points: ring(0, 0, 40, 0, 0, 0.01), Widths: all(3, 9)},
		"crossing itself":    {Points: ring(0, 0, 40, 0, 20, 30, 10, -20), Widths: all(4, 6)},
		"wave":               {Points: ring(wave...), Widths: all(121, 7)},
		"wave that grows":    {Points: ring(wave...), Widths: growing},
		"spiral over itself": {Points: ring(spiral...), Widths: all(121, 11)},
		"swelling":           {Points: ring(0, 0, 20, 0, 40, 0), Widths: []float64{1, 15, 1}},
		"jumps":              {Points: ring(0, 0, 20, 0, 20.0001, 0, 40, 0), Widths: []float64{1, 1, 12, 12}},
		"dab":                {Points: ring(5, 5), Widths: []float64{17}},
		"closed":             {Points: ring(0, 0, 40, 0, 20, 30, 0, 0), Widths: all(4, 8)},
	} {
		for _, lanes := range []model.Lanes{model.Follow, model.Straight} {
			l := layerWith(0.2, 3)
			l.Lanes, l.LaneMargin = lanes, 0.2
			p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{line}}, l)
			pressed(t, p, l)
			if covered, spilt := lineCover(line, p, l); covered < 0.998 || spilt > 0.002 || p.Count(stroke.Lane) == 0 {
				t.Errorf("%s: %d lanes, %.3f %% covered, %.3f %% spilt", name, p.Count(stroke.Lane), 100*covered, 100*spilt)
			}
			if len(p.Remarks) > 0 || math.Abs(p.Painted()-p.Drawn) > 1e-9 {
				t.Errorf("%s: %v", name, p.Remarks)
			}
		}
	}
}

// lineCover is how much of a line a plan covers, and how much it spills, as shares
// of what was drawn.
func lineCover(line stroke.OpenLine, p *stroke.Plan, l *model.Layer) (covered, spilt float64) {
	drawn, painted := newBitmap(-25, -35, 90, 90, 0.05), newBitmap(-25, -35, 90, 90, 0.05)
	g := asDrawn(line)
	for i := range g.Points {
		g.Points[i].Press = g.Points[i].Width
	}
	drawn.paint(g, func(press float64) float64 { return press })
	for _, g := range p.Gestures {
		painted.paint(g, widthOf(l))
	}
	for i, on := range painted.on {
		switch {
		case on && drawn.on[i]:
			covered++
		case on:
			spilt++
		}
	}
	all := float64(drawn.count())
	return covered / all, spilt / all
}

func TestLineFaults(t *testing.T) {
	for name, f := range map[string]formula{
		"no number": func(_, _, _, _ float64) (float64, error) { return math.NaN(), nil },
		"negative":  func(a, _, _, _ float64) (float64, error) { return 1 - 2*a, nil },
		"fails":     func(_, _, _, _ float64) (float64, error) { return 0, errors.New("division by zero") },
		"none":      nil,
	} {
		l := layerWith(0.4, 2)
		if f != nil {
			l.Width = f
		}
		_, problems := stroke.Make(stroke.Drawn{Lines: []stroke.OpenLine{{Points: ring(0, 0, 10, 0)}}}, l, stroke.Options{})
		if len(problems) != 1 || problems[0].Code != "width-formula" {
			t.Fatalf("%s: %v", name, problems)
		}
		if advised := strings.Contains(problems[0].Fix.Advice, "greatest(0*mm"); advised != (f != nil) {
			t.Errorf("%s: %s", name, problems[0].Fix.Advice)
		}
		if digits := regexp.MustCompile(`\d{6}`).FindString(problems[0].Message); digits != "" {
			t.Errorf("%s: more digits than anybody measures: %s", name, problems[0].Message)
		}
	}
}

func TestDegenerateLines(t *testing.T) {
	l := layerWith(0.4, 2)
	p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{
		{Points: ring(1, 1), Widths: []float64{1.5}, Identity: contour.Identity{Shape: 0}},
		{Points: ring(2, 2, 2, 2), Widths: []float64{1, 1}, Identity: contour.Identity{Shape: 1}},
		{Identity: contour.Identity{Shape: 2}},
	}}, l)
	if len(p.Gestures) != 2 || p.Gestures[0].Points[0].Width != 1.5 || len(p.Remarks) != 1 || p.Remarks[0].Reason != stroke.TooSmall || p.UnpaintedShapes != 1 {
		t.Errorf("%+v", p)
	}
}

// asDrawn is a line at its own widths, whatever the brush can do.
func asDrawn(line stroke.OpenLine) stroke.Gesture {
	var g stroke.Gesture
	for i, p := range line.Points {
		if i > 0 && p == line.Points[i-1] {
			continue // the first of two widths counts
		}
		g.Points = append(g.Points, stroke.Point{X: p.X, Y: p.Y, Width: line.Widths[i]})
	}
	return g
}

// TestAreasOfQuickWidths: where the width changes quickly, or jumps, the
// ledger of a line is still the area of its discs, as pixels find it.
func TestAreasOfQuickWidths(t *testing.T) {
	for name, line := range map[string]stroke.OpenLine{
		"jumps":  {Points: ring(0, 0, 12, 0, 12, 0, 24, 0, 24, 0, 36, 0), Widths: []float64{0.8, 4, 0.8, 4, 0.8, 4}},
		"spikes": {Points: ring(0, 0, 10, 0, 11, 0, 12, 0, 30, 0), Widths: []float64{1, 1, 6, 1, 1}},
		"wedge":  {Points: ring(0, 0, 1, 0), Widths: []float64{0.5, 5}},
		"waist":  {Points: ring(0, 0, 5, 0, 10, 0), Widths: []float64{6, 1, 6}},
		"dab":    {Points: ring(5, 5), Widths: []float64{6}},
	} {
		l := layerWith(0.2, 3)
		p := plan(t, stroke.Drawn{Lines: []stroke.OpenLine{line}}, l)
		area := func(gestures []stroke.Gesture, width func(stroke.Point) float64) float64 {
			b := newBitmap(-5, -5, 40, 10, 0.01)
			for _, g := range gestures {
				// The judge reads widths off the press.
				g.Points = append([]stroke.Point(nil), g.Points...)
				for i := range g.Points {
					g.Points[i].Press = width(g.Points[i])
				}
				b.paint(g, func(press float64) float64 { return press })
			}
			return float64(b.count()) * 1e-4
		}
		wide := func(q stroke.Point) float64 { return q.Width }
		drawn, painted := area([]stroke.Gesture{asDrawn(line)}, wide), area(p.Gestures, wide)
		if math.Abs(p.Drawn-drawn) > 0.02*drawn || math.Abs(p.Painted()-painted) > 0.02*drawn {
			t.Errorf("%s: drawn %.2f, painted %.2f; in pixels %.2f and %.2f", name, p.Drawn, p.Painted(), drawn, painted)
		}
	}
}
