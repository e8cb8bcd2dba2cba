package stroke_test

import (
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// TestAwkward paints outlines that are hard on geometry: nothing is lost.
func TestAwkward(t *testing.T) {
	var comb, polygon, notched []plane.Point
	for i := range 150 {
		x := 0.4 * float64(i)
		comb = append(comb, ring(x, 0, x+6, 20, x+6.2, 20, x+0.2, 0)...)
	}
	comb = append(comb, ring(60, -2, 0, -2)...)
	for i := range 20000 {
		s, c := math.Sincos(float64(i) * math.Pi / 10000)
		polygon = append(polygon, plane.At(20+15*c, 20+15*s))
	}
	for side := range 4 {
		for i := range 5000 {
			x, y := float64(i)/500, 0.0
			for range side {
				x, y = 10-y, x
			}
			notched = append(notched, plane.At(x, y))
		}
	}
	var chequers []region.Contour
	for i := range 12 {
		for j := range 12 {
			if (i+j)%2 == 0 {
				x, y := 2*float64(i), 2*float64(j)
				chequers = append(chequers, region.Contour{Identity: contour.Identity{Rule: contour.EvenOdd, Group: 1, Shape: len(chequers)}, Points: ring(x, y, x+2, y, x+2, y+2, x, y+2)})
			}
		}
	}
	one := func(r []plane.Point) []region.Contour { return []region.Contour{{Points: r}} }
	for _, tt := range []struct {
		name  string
		in    []region.Contour
		mains int // -1 for any
		px    float64
	}{
		{"comb", one(comb), -1, 0.02},
		{"20000-gon", one(polygon), 1, 0.05},
		{"square with each side cut in 5000", one(notched), 1, 0.05},
		{"squares that touch at their corners", chequers, 72, 0.05},
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
			if n := p.Count(stroke.Main); tt.mains >= 0 && n != tt.mains || len(p.Remarks) > 0 || p.Bare > 0 {
				t.Errorf("%d strokes, want %d; remarks %v, %d bare", n, tt.mains, p.Remarks, p.Bare)
			}
			if covered < 0.998*all || spilt > 0.002*all || math.Abs(all-drawn.Drawn()) > 0.002*all {
				t.Errorf("%.2f of %.2f mm² covered, %.2f spilt; %.2f drawn", covered, all, spilt, drawn.Drawn())
			}
		})
	}
}
