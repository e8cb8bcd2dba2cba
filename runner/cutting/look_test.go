package cutting_test

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"

	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/vector"
)

// What round ends and corners have too much or too little, against closed forms of the
// stroke of SVG 2, 13.5.3 (from memory), and for steps of the width against a library's
// difference of a half disc and a band.
func TestBeyond(t *testing.T) {
	const tan22 = 0.41421356 // of 22.5 degrees
	flat := contour.Look{Ends: contour.FlatEnds, Corners: contour.PointedCorners, Reach: 4}
	square := contour.Look{Ends: contour.SquareEnds}
	cut := contour.Look{Corners: contour.CutCorners}
	half := circle(0, 0, 2, 20000)[5000:15001] // left of x = 0
	step, err := geom.Difference(polygon(half), polygon(rect(-3, -0.5, 0, 0.5)))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		points []vector.XY
		widths []float64
		closed bool
		look   contour.Look
		want   float64
	}{
		{"flat ends", []vector.XY{xy(0, 0), xy(9, 0)}, []float64{4, 4}, false, flat, 4 * math.Pi},
		{"square ends", []vector.XY{xy(0, 0), xy(9, 0)}, []float64{4, 4}, false, square, 4 * (4 - math.Pi)},
		{"a right angle, pointed", []vector.XY{xy(0, 0), xy(9, 0), xy(9, 9)}, []float64{4, 4, 4}, false, flat, 4*math.Pi + 4 - math.Pi},
		{"half of one, pointed", []vector.XY{xy(0, 0), xy(9, 0), xy(18, 9)}, []float64{4, 4, 4}, false, flat, 4*math.Pi + 4*(tan22-math.Pi/8)},
		{"a right angle, cut off", []vector.XY{xy(0, 0), xy(9, 0), xy(9, 9)}, []float64{4, 4, 4}, false, cut, math.Pi - 2},
		{"a square", rect(0, 0, 9, 9), []float64{4, 4, 4, 4}, true, flat, 4 * (4 - math.Pi)},
		{"a line that tapers", []vector.XY{xy(0, 0), xy(9, 0)}, []float64{4, 2}, false, flat, 2*math.Pi + math.Pi/2},
		{"to a point", []vector.XY{xy(0, 0), xy(9, 0)}, []float64{4, 0}, false, flat, 2 * math.Pi},
		{"an arrow", []vector.XY{xy(0, 0), xy(9, 0), xy(9.001, 0), xy(14, 0)}, []float64{1, 1, 4, 0}, false, flat, math.Pi/8 + step.Area()},
		{"one that comes the other way", []vector.XY{xy(14, 0), xy(9.001, 0), xy(9, 0), xy(0, 0)}, []float64{0, 4, 1, 1}, false, flat, math.Pi/8 + step.Area()},
		{"a jump from nothing", []vector.XY{xy(0, 0), xy(9, 0), xy(9.001, 0), xy(14, 0)}, []float64{0, 0, 4, 0}, false, flat, 2 * math.Pi},
		{"no length", []vector.XY{xy(0, 0), xy(0, 0)}, []float64{4, 4}, false, flat, 0},
	} {
		if got := cutting.Beyond(c.points, c.widths, c.closed, c.look); math.Abs(got-c.want) > 0.006 { // arcs are chords
			t.Errorf("%s: %.5f mm², want %.5f", c.name, got, c.want)
		}
	}
}
