package stroke

import (
	"math"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// inset gives the part of a region that lies at least depth (grid steps) from
// its edge.
//
// Every edge of the region is moved inwards. What it sweeps over lies nearer;
// so does the sector around a corner that points inwards, between the places
// to which its two edges are moved. Where the moved outline is drawn so that
// the sweep never runs backwards, its winding number at a point is 1 in the
// region, less one for every such sweep over the point, and what is left with
// a positive number is the part wanted (after X. Chen, S. McMains, "Polygon
// offsetting by computing winding numbers", ASME DETC 2005, 85513).
func inset(r region.Region, depth float64) ([]region.Region, bool) {
	rings := make([][]plane.Point, 0, len(r.Rings))
	for _, ring := range r.Rings {
		rings = append(rings, moved(ring, depth))
	}
	return region.Positive(rings)
}

// vector is a direction of length 1, or nearly so.
type vector struct{ x, y float64 }

func (v vector) dot(w vector) float64   { return mul(v.x, w.x) + mul(v.y, w.y) }
func (v vector) cross(w vector) float64 { return mul(v.x, w.y) - mul(v.y, w.x) }
func (v vector) left() vector           { return vector{-v.y, v.x} }

func unit(x, y float64) vector {
	d := math.Sqrt(mul(x, x) + mul(y, y))
	return vector{x / d, y / d}
}

// along gives the point at a distance from p.
func along(p plane.Point, v vector, distance float64) plane.Point {
	return plane.Point{
		X: p.X + int32(math.Floor(mul(v.x, distance)+0.5)),
		Y: p.Y + int32(math.Floor(mul(v.y, distance)+0.5)),
	}
}

// arcStep is the cosine of half the angle of an arc's chords, chosen so that
// they run within 0.001 mm of it.
func arcStep(radius float64) float64 {
	const sagitta = plane.PerMM / 1000
	return max(1-sagitta/radius, 0.7)
}

// moved is a ring with its edges moved to the left by depth.
func moved(ring []plane.Point, depth float64) []plane.Point {
	n := len(ring)
	dir := make([]vector, n) // of the edge from point i
	long := make([]float64, n)
	for i, p := range ring {
		q := ring[(i+1)%n]
		x, y := float64(q.X)-float64(p.X), float64(q.Y)-float64(p.Y)
		long[i] = math.Sqrt(mul(x, x) + mul(y, y))
		dir[i] = unit(x, y)
	}
	// By how much a corner to the left shortens the moved edges that meet there.
	cut := make([]float64, n)
	for i := range ring {
		u, v := dir[(i+n-1)%n], dir[i]
		if c := u.cross(v); c > 0 {
			cut[i] = mul(depth, c) / (1 + u.dot(v)) // infinite where it turns back
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
		switch c := u.cross(v); {
		case c > 0 && steady[before] && steady[i]:
			// Both edges end where they meet.
			q := 1 + u.dot(v)
			m := vector{(u.left().x + v.left().x) / q, (u.left().y + v.left().y) / q}
			out = append(out, along(p, m, depth))
		case c > 0 || c == 0 && u.dot(v) < 0:
			// Each keeps its length; by way of the corner itself, nothing else
			// is swept.
			out = append(out, along(p, u.left(), depth), p, along(p, v.left(), depth))
		default:
			out = append(out, along(p, u.left(), depth))
			out = arc(out, p, u.left(), v.left(), depth, step)
			out = append(out, along(p, v.left(), depth))
		}
	}
	return out
}

// arc adds points around p between the directions a and b, clockwise by less
// than half a turn.
func arc(out []plane.Point, p plane.Point, a, b vector, radius, step float64) []plane.Point {
	// Half the angle between a and b has the cosine sqrt((1+a·b)/2).
	if math.Sqrt(max(0, (1+a.dot(b))/2)) >= step {
		return out
	}
	// The middle by a sum, or where they are nearly opposite by a difference.
	middle := vector{a.x + b.x, a.y + b.y}
	if a.dot(b) < 0 {
		middle = vector{a.y - b.y, b.x - a.x}
	}
	m := unit(middle.x, middle.y)
	out = arc(out, p, a, m, radius, step)
	out = append(out, along(p, m, radius))
	return arc(out, p, m, b, radius, step)
}
