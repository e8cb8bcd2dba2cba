package axis_test

import (
	"fmt"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// The axis of a band of 20 by 6 mm: a middle line with radius 3, and a branch
// to each corner, where the radius goes to nothing.
func ExampleMedial() {
	band := region.Region{Rings: [][]plane.Point{{plane.At(0, 0), plane.At(20, 0), plane.At(20, 6), plane.At(0, 6)}}}
	g, err := axis.Medial(band, 0.02)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range g.Edges {
		for i, p := range e.Points {
			if i > 0 {
				fmt.Print(" -> ")
			}
			fmt.Printf("(%g, %g) r %g", plane.MM(p.X), plane.MM(p.Y), plane.MM(p.R))
		}
		fmt.Println()
	}
	// Output:
	// (0, 0) r 0 -> (3, 3) r 3
	// (0, 6) r 0 -> (3, 3) r 3
	// (3, 3) r 3 -> (17, 3) r 3
	// (17, 3) r 3 -> (20, 0) r 0
	// (17, 3) r 3 -> (20, 6) r 0
}
