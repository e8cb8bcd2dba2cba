package region

import (
	"cmp"
	"slices"

	"mahlstick/runner/plane"
)

// edge is a piece of an arrangement: from A to B, A before B, with the number
// of drawn edges that run this way less those that run against it. To the left
// of it the winding number is greater by Weight.
type edge struct {
	segment
	Weight int32
}

// snapRound puts weighted segments on the grid: the edges returned meet only
// in common ends, and each is there once. It returns false where too many edges
// lie close together.
func snapRound(segs []segment, weight []int32, work *budget) ([]edge, bool) {
	t := segmentTree(segs)
	hot := make([]plane.Point, 0, 2*len(segs))
	for _, s := range segs {
		hot = append(hot, s.A, s.B)
	}
	ok := t.pairs(func(i, j int) bool {
		if meet(segs[i], segs[j]) == crosses {
			hot = append(hot, crossing(segs[i], segs[j]))
		}
		return work.spend()
	})
	if !ok {
		return nil, false
	}
	slices.SortFunc(hot, plane.Point.Compare)
	hot = slices.Compact(hot)

	// The hot cells that each segment passes through.
	through := make([]stop, 0, 3*len(segs))
	for _, p := range hot {
		cell := plane.Around(p, 1)
		ok = t.search(cell, func(i int) bool {
			if passesCell(segs[i], p) {
				through = append(through, stop{int32(i), p})
			}
			return work.spend()
		})
		if !ok {
			return nil, false
		}
	}
	slices.SortFunc(through, func(a, b stop) int {
		if a.segment != b.segment {
			return cmp.Compare(a.segment, b.segment)
		}
		// Two cells that one line passes lie one behind the other along it.
		s := segs[a.segment]
		return cmp.Or(cmp.Compare(progress(s, a.at), progress(s, b.at)), a.at.Compare(b.at))
	})
	edges := make([]edge, 0, len(through))
	for k := 1; k < len(through); k++ {
		a, b := through[k-1], through[k]
		if a.segment == b.segment && a.at != b.at {
			e := edge{segment{a.at, b.at}, weight[a.segment]}
			if e.A.Compare(e.B) > 0 {
				e = edge{segment{e.B, e.A}, -e.Weight}
			}
			edges = append(edges, e)
		}
	}
	return merge(edges), true
}

type stop struct {
	segment int32
	at      plane.Point
}

// progress grows along s.
func progress(s segment, p plane.Point) int64 {
	return (int64(s.B.X)-int64(s.A.X))*(int64(p.X)-int64(s.A.X)) + (int64(s.B.Y)-int64(s.A.Y))*(int64(p.Y)-int64(s.A.Y))
}

// merge makes one edge of those that run between the same points, and drops
// those that change nothing.
func merge(edges []edge) []edge {
	slices.SortFunc(edges, func(e, f edge) int { return compareSegments(e.segment, f.segment) })
	out := edges[:0]
	for i := 0; i < len(edges); {
		e := edges[i]
		for i++; i < len(edges) && edges[i].segment == e.segment; i++ {
			e.Weight += edges[i].Weight
		}
		if e.Weight != 0 {
			out = append(out, e)
		}
	}
	return out
}
