package stroke

import (
	"math"
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// sweptRegions are the regions that the discs along a path paint together. It
// returns false if the path is so tangled that too many edges lie on each other.
func sweptRegions(points []axis.Point) ([]region.Region, bool) {
	rings := sweptRings(points)
	if out, ok := united(rings); ok {
		return out, true
	}
	return unitedByParts(rings)
}

// united finds what rings cover together, with an amount of work that suits a path
// that does not turn back much.
func united(rings [][]plane.Point) ([]region.Region, bool) {
	edges := 0
	for _, ring := range rings {
		edges += len(ring)
	}
	return region.Positive(rings, 1<<22+1<<10*edges)
}

// fewRings are so few that they are united at once.
const fewRings = 16

// unitedByParts finds what the rings of a path that wiggles tighter than it is wide
// cover: it unites what each half of them covers, whose edges are few, as most of
// its rings lie inside others.
func unitedByParts(rings [][]plane.Point) ([]region.Region, bool) {
	if len(rings) <= fewRings {
		return united(rings)
	}
	var all [][]plane.Point
	for _, half := range [][][]plane.Point{rings[:len(rings)/2], rings[len(rings)/2:]} {
		regions, ok := unitedByParts(half)
		if !ok {
			return nil, false
		}
		for _, r := range regions {
			all = append(all, r.Rings...)
		}
	}
	return united(all)
}

// sweptRings are rings that together cover what the discs along a path do: for
// each stretch what lies between its outer tangents and the radii to them, for
// each point the sectors of its disc that are left. All run counter-clockwise.
func sweptRings(points []axis.Point) [][]plane.Point {
	var out [][]plane.Point
	var last side
	open := true // no stretch ends at the point
	for i, p := range points {
		if i == len(points)-1 {
			break
		}
		next, ok := tangents(p, points[i+1])
		switch {
		case !ok:
			// One disc contains the other.
			out = append(out, wholeDisc(p), wholeDisc(points[i+1]))
			open = true
			continue
		case open || last.along.Dot(next.along) < 0:
			out = append(out, wholeDisc(p))
		default:
			out = appendSector(out, p, last.left, next.left)
			out = appendSector(out, p, next.right, last.right)
		}
		q := points[i+1]
		out = append(out, []plane.Point{p.Plane(), onRim(p, next.right), onRim(q, next.right), q.Plane(), onRim(q, next.left), onRim(p, next.left)})
		last, open = next, false
	}
	return append(out, wholeDisc(points[len(points)-1]))
}

// side holds the directions, from the middles of two discs, of a stretch and of
// the points where its outer tangents touch them.
type side struct{ along, left, right vector.XY }

// tangents returns false if one disc contains the other.
func tangents(a, b axis.Point) (side, bool) {
	d, dr := distance(a, b), float64(a.R)-float64(b.R)
	if d <= math.Abs(dr) || d == 0 {
		return side{}, false
	}
	u := b.Plane().XY().Minus(a.Plane().XY()).Times(1 / d)
	cos := dr / d
	sin := math.Sqrt(1 - mul(cos, cos))
	forth, aside := u.Times(cos), u.Left().Times(sin)
	return side{u, forth.Plus(aside), forth.Minus(aside)}, true
}

func onRim(p axis.Point, v vector.XY) plane.Point { return along(p.Plane(), v, float64(p.R)) }

// appendSector adds the part of a disc from direction a clockwise to b, if b lies
// there.
func appendSector(out [][]plane.Point, p axis.Point, a, b vector.XY) [][]plane.Point {
	if a.Cross(b) >= 0 {
		return out
	}
	ring := []plane.Point{p.Plane(), onRim(p, a)}
	vector.Arc(a, b, arcStep(float64(p.R)), func(m vector.XY) { ring = append(ring, onRim(p, m)) })
	ring = append(ring, onRim(p, b))
	slices.Reverse(ring)
	return append(out, ring)
}

func wholeDisc(p axis.Point) []plane.Point {
	east := vector.XY{X: 1}
	var ring []plane.Point
	for range 4 {
		south := vector.XY{X: east.Y, Y: -east.X}
		ring = append(ring, onRim(p, east))
		vector.Arc(east, south, arcStep(float64(p.R)), func(m vector.XY) { ring = append(ring, onRim(p, m)) })
		east = south
	}
	slices.Reverse(ring)
	return ring
}
