package stroke

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// mostInset is how many corners a region may have whose lanes are made by
// moving its outline inwards. Richer ones take theirs from the diagram.
const mostInset = 4096

// insetRings makes the rings of lanes by moving the outline inwards again and
// again. It returns false if the outline is too rich for that: the work grows
// with the square of the corners that lie within a lane's depth.
func (p regionPlanner) insetRings(r region.Region, wide *graph) (laneRings, bool) {
	var out laneRings
	corners := 0
	for _, ring := range r.Rings {
		corners += len(ring)
	}
	if corners > mostInset {
		return out, false
	}
	f, peaks := p.filling(), wide.peaks()
	parts, ok := inset(r, f.first)
	// A narrow place that is hardly wider than the brush is painted along its
	// axis.
	parts = reaching(parts, peaks, f.first+p.limits.slackBroad)
	if p.layer.Lanes != model.Follow {
		for _, part := range parts {
			inner := []region.Region{part}
			if f.overlap > 0 && ok {
				inner, ok = inset(part, f.overlap)
			}
			out.inner = append(out.inner, ringsOf(inner))
		}
	}
	for depth := f.first; ok && len(parts) > 0; depth += f.pitch {
		out.levels = append(out.levels, ringsOf(parts))
		if p.layer.Lanes == model.Straight {
			break
		}
		var next []region.Region
		for _, part := range reaching(parts, peaks, depth+f.pitch) {
			var inner []region.Region
			if inner, ok = inset(part, f.pitch); !ok {
				break
			}
			next = append(next, inner...)
		}
		parts = next
	}
	return out, ok
}

func ringsOf(regions []region.Region) [][]plane.Point {
	var out [][]plane.Point
	for _, r := range regions {
		out = append(out, r.Rings...)
	}
	return out
}

// thinnedRegion is a region with fewer points: its edge moves by no more than 0.001 mm.
func thinnedRegion(r region.Region) region.Region {
	out := region.Region{}
	for _, ring := range r.Rings {
		out.Rings = append(out.Rings, thinOut(ring, plane.PerMM/1000))
	}
	return out
}

// reaching keeps the parts that contain one of the peaks with more than the
// given radius.
func reaching(parts []region.Region, peaks []axis.Point, radius float64) []region.Region {
	var out []region.Region
	for _, part := range parts {
		box := plane.Bounds(part.Rings[0])
		for _, p := range peaks {
			if float64(p.R) > radius && box.Has(p.Plane()) && plane.Inside(p.Plane(), part.Rings...) {
				out = append(out, part)
				break
			}
		}
	}
	return out
}

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
	corners := 0
	for _, ring := range thinnedRegion(r).Rings {
		corners += len(ring)
		rings = append(rings, moved(ring, depth))
	}
	return region.Positive(rings, 1<<18+1<<9*corners)
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
		dir[i] = q.XY().Minus(p.XY()).Unit()
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
			vector.Arc(u.Left(), v.Left(), step, func(m vector.XY) { out = append(out, along(p, m, depth)) })
			out = append(out, along(p, v.Left(), depth))
		}
	}
	return out
}
