package stroke

import (
	"math"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// inset returns the part of a region that lies at least depth (grid steps) from
// its edge.
//
// Every edge of the region is moved inwards. What it sweeps over lies nearer;
// so does the sector around a corner that points inwards, between the places to
// which its two edges are moved. If the moved outline is drawn so that the
// sweep never runs backwards, its winding number at a point is 1 in the region,
// less 1 for each sweep over the point. The points with a positive number are
// the result (after X. Chen, S. McMains, "Polygon offsetting by computing
// winding numbers", ASME DETC 2005, 85513).
func inset(r region.Region, depth float64) ([]region.Region, bool) {
	rings := make([][]plane.Point, 0, len(r.Rings))
	for _, ring := range r.Rings {
		rings = append(rings, moved(ring, depth))
	}
	return region.Positive(rings)
}

// direction is v with the length 1, or nearly so.
func direction(v vector.XY) vector.XY {
	d := math.Sqrt(v.Dot(v))
	return vector.XY{X: v.X / d, Y: v.Y / d}
}

// along is the point at a distance from p in the direction v.
func along(p plane.Point, v vector.XY, distance float64) plane.Point {
	return plane.Point{X: p.X + plane.Round(mul(v.X, distance)), Y: p.Y + plane.Round(mul(v.Y, distance))}
}

// arcStep is the cosine of half the angle of a chord that stays within 0.001 mm
// of an arc.
func arcStep(radius float64) float64 {
	const sagitta = plane.PerMM / 1000
	return max(1-sagitta/radius, 0.7)
}

// moved is a ring with its edges moved to the left by depth.
func moved(ring []plane.Point, depth float64) []plane.Point {
	n := len(ring)
	dir := make([]vector.XY, n) // of the edge from point i
	long := make([]float64, n)
	for i, p := range ring {
		q := ring[(i+1)%n]
		long[i] = plane.Distance(p, q)
		dir[i] = direction(q.XY().Minus(p.XY()))
	}
	// By how much a corner that turns left shortens the moved edges that meet
	// there.
	cut := make([]float64, n)
	for i := range ring {
		u, v := dir[(i+n-1)%n], dir[i]
		if c := u.Cross(v); c > 0 {
			cut[i] = mul(depth, c) / (1 + u.Dot(v)) // infinite if the edge turns back on itself
		}
	}
	// An edge that still has a length when both its ends are shortened moves
	// without sweeping backwards.
	steady := make([]bool, n)
	for i := range ring {
		steady[i] = long[i]-cut[i]-cut[(i+1)%n] > 1
	}
	step := arcStep(depth)
	out := make([]plane.Point, 0, n+n/4)
	for i, p := range ring {
		before := (i + n - 1) % n
		u, v := dir[before], dir[i]
		switch c := u.Cross(v); {
		case c > 0 && steady[before] && steady[i]:
			// Both edges end where they meet.
			q := 1 + u.Dot(v)
			m := vector.XY{X: (u.Left().X + v.Left().X) / q, Y: (u.Left().Y + v.Left().Y) / q}
			out = append(out, along(p, m, depth))
		case c > 0 || c == 0 && u.Dot(v) < 0:
			// Each edge keeps its length. The way from one to the other goes
			// through the corner itself, so that nothing else is swept.
			out = append(out, along(p, u.Left(), depth), p, along(p, v.Left(), depth))
		default:
			out = append(out, along(p, u.Left(), depth))
			out = addArc(out, p, u.Left(), v.Left(), depth, step)
			out = append(out, along(p, v.Left(), depth))
		}
	}
	return out
}

// addArc adds points around p between the directions a and b, clockwise by less
// than half a turn.
func addArc(out []plane.Point, p plane.Point, a, b vector.XY, radius, step float64) []plane.Point {
	// Half the angle between a and b has the cosine sqrt((1+a·b)/2).
	if math.Sqrt(max(0, (1+a.Dot(b))/2)) >= step {
		return out
	}
	// The direction halfway between them: their sum, or, if they are nearly
	// opposite, a right angle to their difference.
	middle := a.Plus(b)
	if a.Dot(b) < 0 {
		middle = vector.XY{X: a.Y - b.Y, Y: b.X - a.X}
	}
	m := direction(middle)
	out = addArc(out, p, a, m, radius, step)
	out = append(out, along(p, m, radius))
	return addArc(out, p, m, b, radius, step)
}
