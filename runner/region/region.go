// Package region turns closed contours into regions with holes, mended where
// a pen slipped, and keeps gestures that cross each other apart.
package region

import (
	"mahlstick/recipe/source"
	"mahlstick/runner/plane"
)

// Region is a connected piece of the plane to be painted.
//
// Rings[0] is the outer ring, counter-clockwise; the others are holes,
// clockwise. Consecutive points of a ring differ (the last joins the first
// without being repeated). Edges of a region meet only in shared end points,
// never cross and never overlap; rings may touch in a point.
type Region struct {
	Rings [][]plane.Point
	// Shape numbers the drawn shape (from 0, in the drawing's order) that the
	// region came from. A shape that crosses itself may yield several regions.
	Shape int
	// Place is where the shape stands in the drawing file.
	Place source.Place
}

// Area of the region in mm².
func (r Region) Area() float64 {
	var sum int64
	for _, ring := range r.Rings {
		sum += plane.Area2(ring)
	}
	return float64(sum) / (2 * plane.PerMM * plane.PerMM)
}
