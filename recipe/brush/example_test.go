package brush_test

import (
	"fmt"

	"mahlstick/recipe/brush"
)

// A swatch of six marks, printed as a table for the workshop.
func ExampleFit() {
	c, err := brush.Fit([]brush.Mark{
		{Press: 0.5, Width: 0.48},
		{Press: 1.0, Width: 0.66},
		{Press: 2.0, Width: 1.08},
		{Press: 3.0, Width: 1.62},
		{Press: 4.0, Width: 2.12},
		{Press: 4.5, Width: 2.30},
	}, 5.0, 2.40, 0.25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("width     press     back")
	for _, w := range []float64{0.25, 0.4, 0.8, 1.2, 1.6, 2.0, 2.4} {
		p, err := c.PressFor(w)
		if err != nil {
			fmt.Println(err)
			return
		}
		back, _ := c.WidthAt(p)
		fmt.Printf("%.2f mm   %.3f mm  %.2f mm\n", w, p, back)
	}
	_, err = c.PressFor(2.5)
	fmt.Println(err)
	// Output:
	// width     press     back
	// 0.25 mm   0.000 mm  0.25 mm
	// 0.40 mm   0.312 mm  0.40 mm
	// 0.80 mm   1.356 mm  0.80 mm
	// 1.20 mm   2.238 mm  1.20 mm
	// 1.60 mm   2.962 mm  1.60 mm
	// 2.00 mm   3.732 mm  2.00 mm
	// 2.40 mm   5.000 mm  2.40 mm
	// 2.5 mm is wider than the widest mark; the brush was measured from 0.25 mm to 2.4 mm
}

// Half the widest mark over the safe press is all that a taper knows.
func ExampleTaper() {
	c, err := brush.Taper(2.8, 5.5, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, _ := c.PressFor(1.4)
	fmt.Printf("%.2f mm\n", p)
	// Output: 2.75 mm
}
