package stroke_test

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// ring puts a path of mm on the grid, leaving out points given twice.
func ring(xy ...float64) []plane.Point {
	var out []plane.Point
	for i := 0; i < len(xy); i += 2 {
		out = append(out, plane.At(xy[i], xy[i+1]))
	}
	return out
}

// arcOf gives points on an arc around (cx, cy), angles in degrees, chords
// within 0.0005 mm.
func arcOf(cx, cy, r, from, to float64) []float64 {
	n := math.Ceil(math.Abs(to-from) * math.Pi / 180 / (2 * math.Acos(1-math.Min(0.5, 0.0005/r))))
	var out []float64
	for k := 0.0; k <= n; k++ {
		a := (from + (to-from)*k/n) * math.Pi / 180
		out = append(out, cx+r*math.Cos(a), cy+r*math.Sin(a))
	}
	return out
}

func regionsOf(rings ...[]plane.Point) *region.Result {
	in := make([]region.Contour, len(rings))
	for i, r := range rings {
		in[i] = region.Contour{Identity: contour.Identity{Shape: i}, Points: r}
	}
	got, problems := region.Build(in, region.Options{})
	if len(problems) > 0 {
		panic(problems[0])
	}
	return got
}

// layerWith is a layer with an ideal brush: twice the press is the width, up
// to widest mm, and touching paints narrowest mm.
func layerWith(narrowest, widest float64) *model.Layer {
	curve, err := brush.Taper(widest, widest/2, narrowest)
	if err != nil {
		panic(err)
	}
	return &model.Layer{
		Name: "test", Overlap: 0.15, Tolerance: 0.02, Hairlines: true,
		Brush: &model.Brush{WidestMark: widest, SafePress: widest / 2, Curve: curve},
	}
}

func widthOf(l *model.Layer) func(float64) float64 {
	return func(press float64) float64 {
		w, err := l.Brush.Curve.WidthAt(press)
		if err != nil {
			panic(err)
		}
		return w
	}
}
