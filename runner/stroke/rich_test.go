package stroke_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// coastOf is a coast line of 6*2^halvings segments around a disc of the given
// radius in mm: the middle of each segment is moved sideways by up to a share of
// its length, again and again (after B. Mandelbrot, "How long is the coast of
// Britain?", Science 156, 1967, 636-638).
func coastOf(seed uint64, halvings int, radius, share float64) []plane.Point {
	rng := rand.New(rand.NewPCG(seed, 1))
	var xy [][2]float64
	for i := range 6 {
		s, c := math.Sincos(float64(i) * math.Pi / 3)
		xy = append(xy, [2]float64{1.5*radius + radius*c, 1.5*radius + radius*s})
	}
	for range halvings {
		var finer [][2]float64
		for i, p := range xy {
			q := xy[(i+1)%len(xy)]
			m := share * (2*rng.Float64() - 1)
			finer = append(finer, p, [2]float64{(p[0]+q[0])/2 - m*(q[1]-p[1]), (p[1]+q[1])/2 + m*(q[0]-p[0])})
		}
		xy = finer
	}
	var out []plane.Point
	for _, p := range xy {
		out = append(out, plane.At(p[0], p[1]))
	}
	return out
}

// TestCoasts fills coast lines that are far finer than the brush is wide.
func TestCoasts(t *testing.T) {
	for _, tt := range []struct {
		halvings int
		radius   float64
		widest   float64
		lanes    model.Lanes
	}{
		{10, 40, 12, model.Follow}, {10, 40, 2.8, model.Follow}, {11, 60, 12, model.Follow},
		{10, 40, 12, model.Straight}, {10, 40, 5, model.Both}, {10, 40, 5, model.Straight}, {9, 30, 9, model.Follow},
	} {
		l := layerWith(0, tt.widest)
		l.Lanes, l.LaneAngle = tt.lanes, 20
		drawn := regionsOf(coastOf(uint64(tt.halvings), tt.halvings, tt.radius, 0.3))
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		pressed(t, p, l)
		covered, spilt, all := area(drawn.Regions, p.Gestures, widthOf(l), 0.05)
		name := fmt.Sprintf("%d segments, %g mm, brush %g mm, %v", 6<<tt.halvings, 2*tt.radius, tt.widest, tt.lanes)
		t.Logf("%s: %d lanes, %.3f %% covered, %.3f %% spilt", name, p.Count(stroke.Lane), 100*covered/all, 100*spilt/all)
		if covered < 0.998*all || spilt > 0.002*all || p.Count(stroke.Lane) == 0 {
			t.Errorf("%s: %d lanes, %.1f of %.1f mm² covered, %.1f spilt", name, p.Count(stroke.Lane), covered, all, spilt)
		}
	}
}
