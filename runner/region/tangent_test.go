package region_test

import (
	"math"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// ringOf is an outline of n corners around a point, turned by an angle: a circle
// of many, a square of four.
func ringOf(x, y, r float64, n int, turn float64) []plane.Point {
	var out []plane.Point
	for i := range n {
		s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + turn)
		out = append(out, plane.At(x+r*c, y+r*s))
	}
	return out
}

// An outline that touches another from inside is a hole, at any angle and with
// chords that do not meet; one that reaches over it is not.
func TestTangentOutlines(t *testing.T) {
	hole := func(outer, inner []plane.Point) bool {
		out, problems := region.Build([]region.Contour{{Points: outer}, {Points: inner}}, region.Options{})
		if problems.HasErrors() {
			t.Fatal(problems)
		}
		return len(out.Shapes) == 1 && len(out.Shapes[0].Holes) == 1
	}
	for i := range 40 {
		turn := float64(i) * 0.0371
		square := ringOf(50, 50, 10*math.Sqrt2, 4, turn)
		if !hole(square, ringOf(50, 50, 10, 700+i, turn/2)) {
			t.Errorf("a circle in its square, turned by %g", turn)
		}
		s, c := math.Sincos(turn)
		if !hole(ringOf(50, 50, 10, 500+i, 0), ringOf(50+4*c, 50+4*s, 6, 333+i, turn)) {
			t.Errorf("a circle that touches a circle, at %g", turn)
		}
		if hole(square, ringOf(50, 50, 10.02, 700+i, turn/2)) {
			t.Errorf("a circle that reaches over its square is no hole, turned by %g", turn)
		}
		if hole(ringOf(50, 50, 10, 500, 0), ringOf(50, 50, 9.99995, 501, turn)) {
			t.Errorf("nearly the same circle twice is no hole, turned by %g", turn)
		}
	}
	outer, inner := ringOf(50, 50, 10*math.Sqrt2, 4, 0.3), ringOf(50, 50, 10, 720, 0)
	out, _ := region.Build([]region.Contour{{Points: outer}, {Points: inner}}, region.Options{})
	if want := 400 - 100*math.Pi; math.Abs(out.Drawn()-want) > 0.05 {
		t.Errorf("%.4f mm², want %.4f", out.Drawn(), want)
	}
}
