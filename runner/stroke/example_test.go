package stroke_test

import (
	"fmt"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// A stroke 20 mm long that swells to 2 mm and ends in two points, painted with
// a brush that marks 2.4 mm at 5 mm of press.
func ExampleMake() {
	curve, _ := brush.Taper(2.4, 5, 0.2)
	layer := &model.Layer{Name: "reeds", Tolerance: 0.02, Brush: &model.Brush{Curve: curve}}
	drawn, _ := region.Build([]region.Contour{{
		Points: []plane.Point{plane.At(10, 50), plane.At(20, 49), plane.At(30, 50), plane.At(20, 51)},
	}}, region.Options{})
	plan, _ := stroke.Make(stroke.Drawn{Closed: drawn}, layer, stroke.Options{})
	for _, g := range plan.Gestures {
		fmt.Println(g.Kind)
		for _, p := range g.Points {
			x, y := plane.Point{X: p.X, Y: p.Y}.MM()
			fmt.Printf("  (%.2f, %.2f) mm, press %.2f mm, %.2f mm wide\n", x, y, p.Press, p.Width)
		}
	}
	for _, r := range plan.Remarks {
		fmt.Printf("%v over %.1f mm, %.2f mm² bare\n", r.Reason, r.Length, r.Area)
	}
	// Output:
	// stroke
	//   (11.01, 50.00) mm, press 0.00 mm, 0.20 mm wide
	//   (20.00, 50.00) mm, press 4.07 mm, 1.99 mm wide
	//   (29.00, 50.00) mm, press 0.00 mm, 0.20 mm wide
	// too thin over 2.0 mm, 0.17 mm² bare
}
