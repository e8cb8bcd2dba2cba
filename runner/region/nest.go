package region

import (
	"cmp"
	"slices"

	"mahlstick/runner/plane"
)

// side is where a point lies in relation to an outline.
type side int8

const (
	outside side = iota
	onEdge
	insideOf
)

// sideOf finds where the point (x/2, y/2) lies in relation to p, exactly. The
// coordinates are doubled so that the middle of an edge is a point, too.
func (p *outline) sideOf(x, y int64) side {
	// A box that holds the point and everything to the left of it.
	row := plane.Box{
		Min: plane.Point{X: -1 << 31, Y: int32(floorHalf(y))},
		Max: plane.Point{X: int32(-floorHalf(-x)), Y: int32(-floorHalf(-y))},
	}
	in, on := false, false
	p.tree.search(row, func(i int) bool {
		e := p.edges[i]
		ax, ay := 2*int64(e.A.X), 2*int64(e.A.Y)
		bx, by := 2*int64(e.B.X), 2*int64(e.B.Y)
		if min(ay, by) > y || max(ay, by) < y || min(ax, bx) > x {
			return true
		}
		turn := (bx-ax)*(y-ay) - (by-ay)*(x-ax)
		if turn == 0 && max(ax, bx) >= x {
			on = true
			return false
		}
		if by > ay && ay <= y && y < by && turn < 0 || ay > by && by <= y && y < ay && turn > 0 {
			in = !in
		}
		return true
	})
	switch {
	case on:
		return onEdge
	case in:
		return insideOf
	default:
		return outside
	}
}

func floorHalf(v int64) int64 { return v >> 1 }

// relation is how outline a lies in relation to outline b.
type relation int8

const (
	separate relation = iota // outside each other, or crossing each other
	insideB                  // a lies in b and touches its edge nowhere
	touchesB                 // a lies in b and touches its edge
)

// relate finds how a lies in relation to b; a's box must lie within b's. It returns
// false if too many pairs of edges are close together.
func relate(a, b *outline, work *budget) (relation, bool) {
	contacts, crossed, ok := contactsOf(a, b, work)
	switch {
	case crossed:
		return separate, true
	case !ok:
		return separate, false
	case len(contacts) == 0:
		p := a.rings[0][0]
		if b.sideOf(2*int64(p.X), 2*int64(p.Y)) == insideOf {
			return insideB, true
		}
		return separate, true
	}
	// Between two contacts, a's outline stays on one side of b's. One point of each
	// stretch decides on which side: the middle between a contact and the next one
	// or the edge's end. For a ring without contacts it is the middle of one edge.
	entered := false
	leaves := func(p, q plane.Point) bool {
		side := b.sideOf(int64(p.X)+int64(q.X), int64(p.Y)+int64(q.Y))
		entered = entered || side == insideOf
		return side == outside
	}
	k, edge := 0, 0
	for _, ring := range a.rings {
		end := edge + len(ring)
		if k == len(contacts) || int(contacts[k].edge) >= end {
			if leaves(a.edges[edge].A, a.edges[edge].B) {
				return separate, true
			}
		}
		for ; k < len(contacts) && int(contacts[k].edge) < end; k++ {
			c := contacts[k]
			next := a.edges[c.edge].B
			if k+1 < len(contacts) && contacts[k+1].edge == c.edge {
				next = contacts[k+1].at
			}
			// A contact at the far end of the edge is one of the next edge, too.
			if next != c.at && leaves(c.at, next) {
				return separate, true
			}
		}
		edge = end
	}
	if !entered {
		return separate, true // along b's edge all the way, as if it fills a hole of b
	}
	return touchesB, true
}

// contact is a place where two outlines meet: a corner of one of them, on an edge of
// the first.
type contact struct {
	edge int32
	at   plane.Point
}

// contactsOf lists where the outlines of a and b meet, by edge of a and in order
// along each edge, or reports that they cross. ok is false if too many pairs of edges are close
// together.
func contactsOf(a, b *outline, work *budget) (contacts []contact, crossed, ok bool) {
	ok = pairsBetween(a.tree, b.tree, 0, 0, func(i, j int) bool {
		s, t := a.edges[i], b.edges[j]
		switch meet(s, t) {
		case apart:
			return work.spend()
		case crosses:
			crossed = true
			return false
		}
		for _, p := range [...]plane.Point{t.A, t.B} {
			if onSegment(p, s) {
				contacts = append(contacts, contact{int32(i), p})
			}
		}
		for _, p := range [...]plane.Point{s.A, s.B} {
			if onSegment(p, t) {
				contacts = append(contacts, contact{int32(i), p})
			}
		}
		return work.spend()
	})
	slices.SortFunc(contacts, func(c, d contact) int {
		e := a.edges[c.edge]
		return cmp.Or(cmp.Compare(c.edge, d.edge), cmp.Compare(progress(e, c.at), progress(e, d.at)))
	})
	return slices.Compact(contacts), crossed, ok
}

// nest finds for each outline the smallest outline that contains it (-1 for none), and
// whether the two touch. It returns false if too many edges are close together.
func nest(outlines []*outline, work *budget) (parent []int, touching []bool, ok bool) {
	parent = make([]int, len(outlines))
	touching = make([]bool, len(outlines))
	boxes := newTree(len(outlines), func(i int) plane.Box {
		if outlines[i].area2 == 0 {
			return plane.Empty()
		}
		return outlines[i].box
	})
	var around []int
	for i, a := range outlines {
		parent[i] = -1
		if a.area2 == 0 {
			continue
		}
		around = around[:0]
		corner := plane.Around(a.box.Min, tangency)
		boxes.search(corner, func(j int) bool {
			if b := outlines[j]; j != i && b.area2 > a.area2 && grown(b.box).Holds(a.box) {
				around = append(around, j)
			}
			return true
		})
		slices.SortFunc(around, func(j, k int) int {
			return cmp.Or(cmp.Compare(outlines[j].area2, outlines[k].area2), cmp.Compare(j, k))
		})
		for _, j := range around {
			r, ok := relate(a, outlines[j], work)
			if !ok {
				return nil, nil, false
			}
			if r == separate && touchesFromInside(a, outlines[j], work) {
				r = touchesB
			}
			if r != separate {
				parent[i], touching[i] = j, r == touchesB
				break
			}
		}
	}
	return parent, touching, true
}
