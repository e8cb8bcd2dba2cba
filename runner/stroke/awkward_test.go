package stroke_test

import (
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// combOf has slanting teeth side by side, 0.4 mm apart.
func combOf(teeth int) []plane.Point {
	var comb []plane.Point
	for i := range teeth {
		x := 0.4 * float64(i)
		comb = append(comb, ring(x, 0, x+6, 20, x+6.2, 20, x+0.2, 0)...)
	}
	return append(comb, ring(60, -2, 0, -2)...)
}

// notchedSquare has points every 0.002 mm along its sides.
func notchedSquare() []plane.Point {
	var notched []plane.Point
	for side := range 4 {
		for i := range 5000 {
			x, y := float64(i)/500, 0.0
			for range side {
				x, y = 10-y, x
			}
			notched = append(notched, plane.At(x, y))
		}
	}
	return notched
}

// chequersOf are squares of 2 mm that touch at their corners, as one shape.
func chequersOf(side int) []region.Contour {
	var chequers []region.Contour
	for i := range side * side {
		if (i/side+i%side)%2 != 0 {
			continue
		}
		x, y := 2*float64(i/side), 2*float64(i%side)
		identity := contour.Identity{Rule: contour.EvenOdd, Group: 1, Shape: len(chequers)}
		chequers = append(chequers, region.Contour{Identity: identity, Points: ring(x, y, x+2, y, x+2, y+2, x, y+2)})
	}
	return chequers
}

// TestAwkward paints outlines that are hard on geometry: nothing is lost.
func TestAwkward(t *testing.T) {
	var polygon []plane.Point
	for i := range 20000 {
		s, c := math.Sincos(float64(i) * math.Pi / 10000)
		polygon = append(polygon, plane.At(20+15*c, 20+15*s))
	}
	one := func(r []plane.Point) []region.Contour { return []region.Contour{{Points: r}} }
	for _, tt := range []struct {
		name  string
		in    []region.Contour
		mains int // -1 for any
		px    float64
	}{
		{"comb", one(combOf(150)), -1, 0.02},
		{"20000-gon", one(polygon), 1, 0.05},
		{"square with each side cut in 5000", one(notchedSquare()), 1, 0.05},
		{"squares that touch at their corners", chequersOf(12), 72, 0.05},
		{"touching itself from inside", one(ring(0, 0, 20, 0, 20, 20, 10, 20, 15, 5, 5, 5, 10, 20, 0, 20)), -1, 0.05},
		{"two laps", one(append(ring(0, 0, 8, 1, 7, 9), ring(0, 0, 8, 1, 7, 9)...)), 1, 0.05},
		{"out and back", one(ring(0, 0, 8, 1, 20, 2.5, 8, 1, 7, 9)), 1, 0.05},
	} {
		t.Run(tt.name, func(t *testing.T) {
			drawn, problems := region.Build(tt.in, region.Options{})
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			l := layerWith(0, 60)
			p := plan(t, stroke.Drawn{Closed: drawn}, l)
			pressed(t, p, l)
			covered, spilt, all := area(drawn.Regions, p.Gestures, widthOf(l), tt.px)
			if n := p.Count(stroke.Main); tt.mains >= 0 && n != tt.mains || len(p.Remarks) > 0 || p.UnpaintedShapes > 0 {
				t.Errorf("%d strokes, want %d; remarks %v, %d bare", n, tt.mains, p.Remarks, p.UnpaintedShapes)
			}
			if covered < 0.998*all || spilt > 0.002*all || math.Abs(all-drawn.Drawn()) > 0.002*all {
				t.Errorf("%.2f of %.2f mm² covered, %.2f spilt; %.2f drawn", covered, all, spilt, drawn.Drawn())
			}
		})
	}
}
