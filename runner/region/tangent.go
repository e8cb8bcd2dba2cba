package region

import (
	"math"

	"mahlstick/runner/plane"
)

// tangency is how far (grid steps) an outline may reach over another that it
// touches from inside: curves are read as chords, up to 0.005 mm beside them, and
// corners are rounded to the grid. A crossing that nobody can paint is none.
const tangency = 50

func grown(b plane.Box) plane.Box {
	return plane.Box{Min: plane.Point{X: b.Min.X - tangency, Y: b.Min.Y - tangency}, Max: plane.Point{X: b.Max.X + tangency, Y: b.Max.Y + tangency}}
}

// touchesFromInside reports whether a lies in b but for what a tangent outline
// may reach over: no corner of a lies farther outside b, and no corner of b
// farther inside a. What a leaves of b must be more than a sliver along its
// edge, as an outline drawn twice would leave.
func touchesFromInside(a, b *outline, work *budget) bool {
	length := 0.0
	for _, e := range a.edges {
		length += plane.Distance(e.A, e.B)
	}
	if float64(b.area2-a.area2)/2 <= float64(tangency*length) {
		return false
	}
	for _, e := range a.edges {
		if !work.spend() || b.sideOf(2*int64(e.A.X), 2*int64(e.A.Y)) == outside && !b.near(e.A) {
			return false
		}
	}
	ok := true
	b.tree.search(a.box, func(i int) bool {
		p := b.edges[i].A
		ok = work.spend() && (a.sideOf(2*int64(p.X), 2*int64(p.Y)) != insideOf || a.near(p))
		return ok
	})
	return ok
}

// near reports whether a point lies within reach of a tangent outline.
func (p *outline) near(q plane.Point) bool {
	found := false
	p.tree.search(plane.Around(q, tangency), func(i int) bool {
		found = distanceTo(q, p.edges[i]) <= tangency
		return !found
	})
	return found
}

// distanceTo is the distance of a point from an edge, in grid steps.
func distanceTo(q plane.Point, e segment) float64 {
	dx, dy := float64(e.B.X)-float64(e.A.X), float64(e.B.Y)-float64(e.A.Y)
	x, y := float64(q.X)-float64(e.A.X), float64(q.Y)-float64(e.A.Y)
	share := 0.0
	if l := float64(dx*dx) + float64(dy*dy); l > 0 {
		share = min(max((float64(x*dx)+float64(y*dy))/l, 0), 1)
	}
	x, y = x-float64(share*dx), y-float64(share*dy)
	return math.Sqrt(float64(x*x) + float64(y*y))
}
