package covering

import (
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
)

// Areas by closed form, in mm².
func TestMeasure(t *testing.T) {
	drawn := func(shape int, points []plane.Point) register.Contour {
		return register.Contour{Identity: contour.Identity{Shape: shape}, Points: points, Closed: true}
	}
	line := register.Contour{Identity: contour.Identity{Shape: 1}, Points: []plane.Point{plane.At(20, 0), plane.At(30, 0)}, Widths: []float64{2, 2}}
	for _, c := range []struct {
		name   string
		shapes []register.Contour
		covers []register.Cover
		lines  bool
		hidden Hidden
		drawn  float64
		parts  int
	}{
		{"apart", []register.Contour{drawn(0, square(0, 0, 10))}, []register.Cover{cover(1, false, square(50, 0, 10))}, false, Hidden{}, 0, 0},
		{"under it", []register.Contour{drawn(0, square(0, 0, 10))}, []register.Cover{cover(0, false, square(0, 0, 5))}, false, Hidden{}, 100, 1},
		{"a quarter", []register.Contour{drawn(0, square(0, 0, 10))}, []register.Cover{cover(1, false, square(5, 5, 10))}, false, Hidden{Shapes: 1, Area: 25}, 100, 1},
		{"a line wholly", []register.Contour{drawn(0, square(0, 0, 10)), line}, []register.Cover{cover(2, false, square(15, -10, 20))}, false,
			Hidden{Shapes: 1, Whole: 1, Area: 20 + math.Pi}, 120 + math.Pi, 2},
		{"as lines", []register.Contour{drawn(0, square(0, 0, 10))}, []register.Cover{cover(1, false, square(5, -5, 20))}, true, Hidden{Shapes: 1}, 0, 1},
	} {
		hidden, whole, parts, ok := Measure(c.shapes, c.covers, c.lines, region.Options{}, 0.02)
		if !ok || hidden.Shapes != c.hidden.Shapes || hidden.Whole != c.hidden.Whole || parts != c.parts ||
			math.Abs(hidden.Area-c.hidden.Area) > 0.02 || math.Abs(whole-c.drawn) > 0.02 {
			t.Errorf("%s: %+v of %.3f mm² in %d, %v; want %+v of %.3f mm² in %d", c.name, hidden, whole, parts, ok, c.hidden, c.drawn, c.parts)
		}
	}
}
