package touching_test

import (
	"math"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

// A bow that crosses itself at its middle comes back after 50 + 60 + 50 mm; a sharp
// corner does not cross.
func TestAgain(t *testing.T) {
	line := func(places ...[2]float64) (out []stroke.Point) {
		for _, p := range places {
			q := plane.At(p[0], p[1])
			out = append(out, stroke.Point{X: q.X, Y: q.Y, Width: 1})
		}
		return out
	}
	for _, c := range []struct {
		name string
		line []stroke.Point
		way  float64 // 0 for none
	}{
		{"bow", line([2]float64{0, 0}, [2]float64{40, 30}, [2]float64{80, 60}, [2]float64{80, 0}, [2]float64{0, 60}), 50 + 60 + 50},
		{"circle", line([2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 10}, [2]float64{0, 10}, [2]float64{0, 0}), 40},
		{"nearly closed", line([2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 10}, [2]float64{0, 10}, [2]float64{0, 0.9}), 39.1},
		{"open", line([2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 10}, [2]float64{0, 10}, [2]float64{0, 1.1}), 0},
		{"sharp", line([2]float64{0, 0}, [2]float64{50, 0}, [2]float64{0, 3}), 0},
		{"dot", line([2]float64{0, 0}), 0},
		{"two loops", line([2]float64{0, 0}, [2]float64{100, 0}, [2]float64{100, 50}, [2]float64{50, 50}, [2]float64{50, -10}, [2]float64{40, -10}, [2]float64{40, 10}), 50 + 50 + 50 + 50},
	} {
		way, _, ok := touching.Again(c.line)
		if ok != (c.way > 0) || math.Abs(way-c.way) > 1e-9 {
			t.Errorf("%s: %g mm, %v, want %g mm", c.name, way, ok, c.way)
		}
	}
}
