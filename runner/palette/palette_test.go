package palette_test

import (
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/palette"
	"mahlstick/runner/vector"
)

// The area of a line with a width and round ends, also where it was stretched from
// 10 x 2 mm by a map that keeps areas: along it to 20 x 1 mm, or across.
func TestAreaOfLines(t *testing.T) {
	for _, c := range []struct {
		stretch contour.Stretch
		to      vector.XY
	}{
		{contour.Stretch{}, vector.XY{X: 10}},
		{contour.Stretch{XX: 2, YY: 0.5}, vector.XY{X: 20}},
		{contour.Stretch{XX: -2, YY: 0.5}, vector.XY{Y: 5}},
		{contour.Stretch{XX: 1, XY: 1, YY: 1}, vector.XY{X: 10, Y: 10}},
	} {
		line := drawing.Contour{Points: []vector.XY{{}, c.to}, Widths: []float64{2, 2}}
		line.Look.Stretch = c.stretch
		got := palette.Of(palette.Shapes(&drawing.Drawing{Contours: []drawing.Contour{line}}))
		if want := 20 + math.Pi; len(got) != 1 || math.Abs(got[0].Area-want) > 1e-6 {
			t.Errorf("%+v: %+v, want %.4f mm²", c.stretch, got, want)
		}
	}
}
