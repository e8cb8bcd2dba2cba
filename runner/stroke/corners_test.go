package stroke_test

import (
	"math"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Small corners stay round, listed with the area that pixels find bare; larger
// ones are painted.
func TestRoundCorners(t *testing.T) {
	bar := [][]plane.Point{ring(0, 0, 20, 0, 20, 2, 0, 2)}
	for _, tt := range []struct {
		name     string
		rings    [][]plane.Point
		widest   float64
		below    float64 // mm
		places   int
		contacts int     // besides lanes
		bare     float64 // mm², by closed forms
	}{
		// A square corner reaches (√2-1)r beyond a disc of radius r in it, and
		// (1-π/4)r² of it stay bare.
		{"small enough", bar, 8, 0.42, 4, 1, 4 - math.Pi},
		{"too large", bar, 8, 0.41, 0, 1, 0},
		{"square", [][]plane.Point{ring(0, 0, 2, 0, 2, 2, 0, 2)}, 8, 0.42, 4, 1, 4 - math.Pi},
		{"of a wide place", [][]plane.Point{ring(0, 0, 20, 0, 20, 20, 0, 20)}, 2.4, 0.5, 4, 0, 1.44 * (4 - math.Pi)},
		{"of a wide place, too large", [][]plane.Point{ring(0, 0, 20, 0, 20, 20, 0, 20)}, 2.4, 0.4, 0, 0, 0},
		// Both of its square corners go, and with them the third that they end.
		{"bevelled", [][]plane.Point{ring(0, 0, 20, 0, 20, 2, 0.1, 2, 0, 1.9)}, 8, 0.42, 4, 1, 4 - math.Pi - 0.005},
		{"one end pointed", [][]plane.Point{ring(0, 0, 20, 1, 0, 2)}, 8, 0.6, 2, 1, math.NaN()},
	} {
		t.Run(tt.name, func(t *testing.T) {
			for _, angle := range []float64{0, 0.3} {
				l := layerWith(0, tt.widest)
				l.Corners, l.RoundBelow = model.Round, tt.below
				drawn := regionsOf(turned(tt.rings, angle)...)
				p := plan(t, stroke.Drawn{Closed: drawn}, l)
				if n := p.Count(stroke.Main) + p.Count(stroke.Corner); n != tt.contacts || len(p.Remarks) != tt.places {
					t.Errorf("%d contacts besides lanes, want %d; %d places, want %d: %+v", n, tt.contacts, len(p.Remarks), tt.places, p.Remarks)
				}
				bare := p.Refused[stroke.Rounded]
				if math.Abs(bare-tt.bare) > 0.02 {
					t.Errorf("%.4f mm² stay bare, want %.4f", bare, tt.bare)
				}
				covered, _, all := area(drawn.Regions, p.Gestures, widthOf(l), 0.02)
				if math.Abs(all-covered-bare) > 0.1+0.001*all {
					t.Errorf("%.4f mm² stay bare, in pixels %.4f", bare, all-covered)
				}
				if math.Abs(p.Drawn-p.Painted()-bare) > 1e-9 {
					t.Errorf("drawn %g, painted %g, refused %g mm²", p.Drawn, p.Painted(), bare)
				}
			}
		})
	}
}

// The outermost lane of a wide place goes out into its corners, unless edges
// come before lanes.
func TestLaneTakesCorners(t *testing.T) {
	for _, angle := range []float64{0, 0.3} {
		drawn := regionsOf(turned([][]plane.Point{ring(0, 0, 20, 0, 20, 20, 0, 20)}, angle)...)
		for _, tt := range []struct {
			corners    model.Cornering
			edgesFirst bool
			touches    int
			twice      float64 // mm²: a corner is a square with the side of the radius
		}{{model.Joined, false, 0, 4 * 1.44}, {model.Joined, true, 4, 0}, {model.Touch, false, 4, 0}} {
			l := layerWith(0, 2.4)
			l.Corners, l.EdgesFirst = tt.corners, tt.edgesFirst
			p := plan(t, stroke.Drawn{Closed: drawn}, l)
			pressed(t, p, l)
			if n := p.Count(stroke.Corner); n != tt.touches || math.Abs(p.Twice-tt.twice) > 0.01*tt.twice {
				t.Errorf("%+v: %d corner touches, %.4f mm² painted twice", tt, n, p.Twice)
			}
			if v := judge(drawn.Regions, p.Gestures, widthOf(l), 0.05); v.coverage < 0.998 || v.spill > 0.002 {
				t.Errorf("%+v: %+v", tt, v)
			}
		}
	}
}

// A cross of four arms is walked along two of them; the other two are gone over
// twice, and so is one corner at either end of the walk. By symmetry an arm is
// a quarter of the cross; a corner is a square with the side of the radius.
func TestPaintedTwice(t *testing.T) {
	cross := [][]plane.Point{ring(-1, -1, -1, -6, 1, -6, 1, -1, 6, -1, 6, 1, 1, 1, 1, 6, -1, 6, -1, 1, -6, 1, -6, -1)}
	for _, angle := range []float64{0, 0.3} {
		l := layerWith(0, 8)
		p := plan(t, stroke.Drawn{Closed: regionsOf(turned(cross, angle)...)}, l)
		if want := 2*44.0/4 + 2; len(p.Gestures) != 1 || math.Abs(p.Twice-want) > 0.01*want {
			t.Errorf("%d contacts, %.3f mm² painted twice, want %.3f", len(p.Gestures), p.Twice, want)
		}
		l.Corners = model.Touch
		if p := plan(t, stroke.Drawn{Closed: regionsOf(turned(cross, angle)...)}, l); p.Twice != 0 {
			t.Errorf("with touches %g mm² are painted twice", p.Twice)
		}
	}
}
