package region

import (
	"slices"

	"mahlstick/runner/plane"
)

// ringKey is equal for equal sets of rings, whatever their order and the points that
// they start with.
type ringKey struct {
	area2 int64
	box   plane.Box
	n     int
}

func keyOf(rings [][]plane.Point) ringKey {
	k := ringKey{area2: area2(rings), box: plane.Empty()}
	for _, ring := range rings {
		k.n += len(ring)
		k.box = k.box.Union(plane.Bounds(ring))
	}
	return k
}

// sameRings reports whether two sets of rings bound the same area.
func sameRings(a, b [][]plane.Point) bool {
	if len(a) != len(b) {
		return false
	}
	return slices.EqualFunc(canonical(a), canonical(b), slices.Equal)
}

// canonical starts every ring at its first point by x and y, and sorts the
// rings by their points.
func canonical(rings [][]plane.Point) [][]plane.Point {
	out := make([][]plane.Point, len(rings))
	for i, ring := range rings {
		start := 0
		for k, p := range ring {
			if p.Compare(ring[start]) < 0 {
				start = k
			}
		}
		out[i] = slices.Concat(ring[start:], ring[:start])
	}
	slices.SortFunc(out, func(r, s []plane.Point) int { return slices.CompareFunc(r, s, plane.Point.Compare) })
	return out
}
