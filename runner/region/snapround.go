package region

import (
	"cmp"
	"slices"

	"mahlstick/runner/plane"
)

// edge is an edge of an arrangement, from A to B, with A before B. Weight is the number
// of drawn edges along it that run from A to B, minus those that run back: the winding
// number to its left is greater by Weight than that to its right.
type edge struct {
	segment
	Weight int32
}

// snapRound snaps weighted segments to the grid: the edges returned meet only in
// common ends, and each occurs once. It returns false if too many edges lie close
// together.
func snapRound(segs []segment, weight []int32, work *budget) ([]edge, bool) {
	t := segmentTree(segs)
	hot := make([]plane.Point, 0, 2*len(segs)) // centres of the hot cells: those that hold an end or a crossing
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
		// Two cells that one line passes lie in order along it.
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

// stop is a hot cell that a segment passes.
type stop struct {
	segment int32
	at      plane.Point
}

// progress is a measure of how far along s the point p is.
func progress(s segment, p plane.Point) int64 {
	return (int64(s.B.X)-int64(s.A.X))*(int64(p.X)-int64(s.A.X)) + (int64(s.B.Y)-int64(s.A.Y))*(int64(p.Y)-int64(s.A.Y))
}

// merge joins edges that run between the same points into one, and drops those whose
// weights cancel.
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
