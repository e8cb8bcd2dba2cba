// Package region turns closed contours into regions with holes. It repairs drawing
// errors, and keeps strokes that cross each other separate.
//
// A contour that touches or crosses itself, or a set of contours with a fill
// rule, is put on the grid by snap rounding (J. D. Hobby, "Practical segment
// intersection with finite precision output", Computational Geometry 13, 1999,
// 199-214; M. T. Goodrich, L. J. Guibas, J. Hershberger, P. J. Tanenbaum, "Snap
// rounding line segments efficiently in two and three dimensions", SoCG 1997):
// every crossing is rounded to the nearest grid point, and every edge that
// passes through the grid cell of a corner or a crossing is led through its
// middle. No edge moves by more than half a grid step in x or in y, and no new
// crossing can arise. All decisions are taken on integers, exactly.
package region

import (
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
)

// Contour is a closed outline on the sheet.
type Contour struct {
	contour.Identity
	// Points are in order; the last joins the first.
	Points []plane.Point
}

// Region is a connected part of the plane that is painted.
//
// Rings[0] is the outer ring, counter-clockwise; the others are holes,
// clockwise. Consecutive points of a ring differ (the last joins the first
// without being repeated), and no ring passes a point twice. Edges of a region
// meet only in shared end points, never cross and never overlap; rings may
// touch in a point.
type Region struct {
	Rings [][]plane.Point
	// Shape is the number of the drawn shape (from 0, in the drawing's order) that the
	// region came from. A shape that crosses itself may become several regions.
	Shape int
	// Place is where the shape is in the drawing file.
	Place source.Place
}

// Area of the region in mm².
func (r Region) Area() float64 { return squareMM(area2(r.Rings)) }

// Shape is one drawn shape after cleaning: a contour with its holes, or a
// group with a fill rule.
type Shape struct {
	Number int // see Contour.Shape
	Place  source.Place
	// Area is what was drawn, in mm²: the sum over the shape's regions.
	Area float64
	// Holes are the numbers of the contours that were read as its holes,
	// because they lie inside it without crossing it. Groups list none.
	Holes []int
	// Regions is the number of regions made from the shape; 0 if it vanishes on the
	// grid. At is a point of the shape.
	Regions int
	At      plane.Point
}

// Fault is a kind of drawing error that was repaired.
type Fault int8

// The faults.
const (
	Repeated  Fault = iota // a point given twice in a row
	Spike                  // an edge that runs back over the one before
	SelfTouch              // an outline that touches itself
	SelfCross              // an outline that crosses itself
	Twice                  // a shape given twice; the later one is left out
	Reversed               // an outline running clockwise, or a hole running counter-clockwise
)

func (f Fault) String() string {
	return [...]string{"point given twice", "spike", "outline touches itself", "outline crosses itself", "shape given twice", "direction reversed"}[f]
}

// Repair is the repair of one kind of fault in one contour.
type Repair struct {
	Fault Fault
	Shape int         // the contour's number
	N     int         // how often
	At    plane.Point // where first
	Place source.Place
}

// Result is a layer's contours as regions.
type Result struct {
	Regions []Region // by shape number
	Shapes  []Shape  // by number
	Repairs []Repair // by contour, then fault
}

// Drawn is the area of all shapes in mm²; where two overlap, both count.
func (r *Result) Drawn() float64 {
	sum := 0.0
	for _, s := range r.Shapes {
		sum += s.Area
	}
	return sum
}

func area2(rings [][]plane.Point) int64 {
	var sum int64
	for _, ring := range rings {
		sum += plane.Area2(ring)
	}
	return sum
}

func squareMM(area2 int64) float64 { return float64(area2) / (2 * plane.PerMM * plane.PerMM) }
