package stroke

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

// hatch returns straight lanes between rings that lie inside a filled place's
// outermost lane by the overlap.
//
// The lanes are on lines one pitch apart, counted from the sheet's corner. Together
// with the outermost lane they leave nothing bare: the nearest line is at most
// half a pitch from any point, and either the foot of the perpendicular is on a
// lane, or the edge, and with it the lane along it, is nearer.
func (f filling) hatch(rings [][]plane.Point, degrees float64) [][]axis.Point {
	sin, cos := arith.SinCosDegrees(degrees)
	across := func(p plane.Point) float64 { return mul(cos, float64(p.Y)) - mul(sin, float64(p.X)) }
	forth := func(p axis.Point) float64 { return mul(cos, float64(p.X)) + mul(sin, float64(p.Y)) }
	// Where the lines cross the edges.
	type crossing struct {
		line  int64
		forth float64
		at    axis.Point
	}
	var crossings []crossing
	for _, ring := range rings {
		p := ring[len(ring)-1]
		for _, q := range ring {
			a, b := across(p)/f.pitch, across(q)/f.pitch
			// A line exactly through a corner counts as below it, for every
			// edge, so that crossings come in pairs.
			for k := int64(math.Floor(min(a, b))) + 1; float64(k) <= max(a, b); k++ {
				at := between(axis.Point{X: p.X, Y: p.Y}, axis.Point{X: q.X, Y: q.Y}, (float64(k)-a)/(b-a))
				crossings = append(crossings, crossing{k, forth(at), at})
			}
			p = q
		}
	}
	slices.SortFunc(crossings, func(a, b crossing) int {
		switch {
		case a.line != b.line:
			return int(max(-1, min(1, a.line-b.line)))
		case a.forth < b.forth:
			return -1
		case a.forth > b.forth:
			return 1
		default:
			return 0
		}
	})
	var out [][]axis.Point
	for i := 0; i+1 < len(crossings); i += 2 {
		a, b := crossings[i].at, crossings[i+1].at
		a.R, b.R = f.full(), f.full()
		if crossings[i].line&1 == 1 {
			a, b = b, a // every other line is painted the other way
		}
		out = append(out, []axis.Point{a, b})
	}
	return out
}
