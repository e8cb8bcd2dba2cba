package region

import (
	"slices"

	"mahlstick/runner/plane"
)

// isSimple reports whether a tidied ring nowhere touches or crosses itself. A
// line sweeps over the ring and compares only edges that come to lie next to
// each other on it (M. I. Shamos, D. Hoey, "Geometric intersection problems",
// FOCS 1976, 208-215), so that its time does not depend on how they lie.
func isSimple(ring []plane.Point) bool {
	n := len(ring)
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int { return ring[i].Compare(ring[j]) })
	for k := 1; k < n; k++ {
		if ring[order[k]] == ring[order[k-1]] {
			return false
		}
	}
	s := newSweep(ring)
	for _, v := range order {
		if !s.pass(v) {
			return false
		}
	}
	return true
}

// sweep holds the edges that the line crosses, from the lowest up: a treap (R. Seidel,
// C. R. Aragon, "Randomized search trees", Algorithmica 16, 1996, 464-497)
// threaded by a list. Edge i runs from point i of the ring to the next; slots
// hold edges, and -1 is none.
type sweep struct {
	ring []plane.Point
	slot []int32 // by edge
	root int32
	// By slot:
	edge            []int32
	left, right, up []int32
	below, above    []int32

	free []int32 // slots without an edge
}

func newSweep(ring []plane.Point) *sweep {
	return &sweep{ring: ring, slot: make([]int32, len(ring)), root: -1}
}

// ends is an edge directed from left to right, or upwards.
func (s *sweep) ends(edge int32) segment {
	next := int(edge) + 1
	if next == len(s.ring) {
		next = 0
	}
	lo, hi := span(segment{s.ring[edge], s.ring[next]})
	return segment{lo, hi}
}

// pass moves the line over point v. It returns false if edges meet there.
func (s *sweep) pass(v int32) bool {
	n := int32(len(s.ring))
	before, after := (v+n-1)%n, v
	p := s.ring[v]
	b, a := s.ends(before), s.ends(after)
	switch {
	case b.B == p && a.B == p: // both edges end here
		lower, upper := s.slot[before], s.slot[after]
		if s.above[upper] == lower {
			lower, upper = upper, lower
		}
		if s.above[lower] != upper {
			return false
		}
		under, over := s.below[lower], s.above[upper]
		s.remove(lower)
		s.remove(upper)
		return s.apart(under, over)
	case b.B == p: // one ends, the other begins
		return s.replace(before, after)
	case a.B == p:
		return s.replace(after, before)
	}
	// Both begin here.
	under, on := s.locate(p)
	turn := plane.Turn(p, a.B, b.B)
	if on || turn == 0 {
		return false
	}
	lower, upper := before, after
	if turn > 0 {
		lower, upper = after, before
	}
	l := s.insert(lower, under)
	u := s.insert(upper, l)
	return s.apart(under, l) && s.apart(u, s.above[u])
}

// replace puts the next edge of the ring in the place of the one that ends.
func (s *sweep) replace(old, edge int32) bool {
	slot := s.slot[old]
	s.edge[slot], s.slot[edge] = edge, slot
	return s.apart(s.below[slot], slot) && s.apart(slot, s.above[slot])
}

// apart reports whether the edges in two slots, if there are both, meet only
// where they follow each other in the ring.
func (s *sweep) apart(a, b int32) bool {
	if a < 0 || b < 0 {
		return true
	}
	i, j := s.edge[a], s.edge[b]
	switch meet(s.ends(i), s.ends(j)) {
	case apart:
		return true
	case atEnds:
		n := int32(len(s.ring))
		return (i+1)%n == j || (j+1)%n == i
	default:
		return false
	}
}

// locate finds the topmost slot below p, and whether p lies on an edge.
func (s *sweep) locate(p plane.Point) (under int32, on bool) {
	under = -1
	for at := s.root; at >= 0; {
		e := s.ends(s.edge[at])
		switch turn := plane.Turn(e.A, e.B, p); {
		case turn > 0:
			under, at = at, s.right[at]
		case turn < 0:
			at = s.left[at]
		default:
			return at, true
		}
	}
	return under, false
}

// insert adds an edge above a slot, or below all others for -1.
func (s *sweep) insert(edge, under int32) int32 {
	slot := int32(len(s.edge))
	if n := len(s.free); n > 0 {
		slot, s.free = s.free[n-1], s.free[:n-1]
	} else {
		for _, list := range []*[]int32{&s.edge, &s.left, &s.right, &s.up, &s.below, &s.above} {
			*list = append(*list, -1)
		}
	}
	s.edge[slot], s.slot[edge] = edge, slot
	s.left[slot], s.right[slot], s.up[slot] = -1, -1, -1
	s.below[slot], s.above[slot] = under, -1
	switch {
	case s.root < 0:
		s.root = slot
	case under < 0:
		first := s.root
		for s.left[first] >= 0 {
			first = s.left[first]
		}
		s.above[slot], s.below[first] = first, slot
		s.left[first], s.up[slot] = slot, first
	default:
		over := s.above[under]
		if s.above[slot], s.above[under] = over, slot; over >= 0 {
			s.below[over] = slot
		}
		// Of two neighbours one has no child on the side of the other.
		if s.right[under] < 0 {
			s.right[under], s.up[slot] = slot, under
		} else {
			s.left[over], s.up[slot] = slot, over
		}
	}
	for s.up[slot] >= 0 && priority(slot) > priority(s.up[slot]) {
		s.rotate(slot)
	}
	return slot
}

// priority is a pseudo-random number for a slot, the same in every run.
func priority(slot int32) uint32 {
	x := uint32(slot)*2654435769 + 1
	x ^= x >> 15
	x *= 2246822519
	return x ^ x>>13
}

// rotate lifts a slot above its parent.
func (s *sweep) rotate(slot int32) {
	parent := s.up[slot]
	grand := s.up[parent]
	if s.left[parent] == slot {
		s.left[parent] = s.right[slot]
		if c := s.left[parent]; c >= 0 {
			s.up[c] = parent
		}
		s.right[slot] = parent
	} else {
		s.right[parent] = s.left[slot]
		if c := s.right[parent]; c >= 0 {
			s.up[c] = parent
		}
		s.left[slot] = parent
	}
	s.up[parent], s.up[slot] = slot, grand
	switch {
	case grand < 0:
		s.root = slot
	case s.left[grand] == parent:
		s.left[grand] = slot
	default:
		s.right[grand] = slot
	}
}

// remove removes a slot from the tree and the list.
func (s *sweep) remove(slot int32) {
	for {
		l, r := s.left[slot], s.right[slot]
		switch {
		case l < 0 && r < 0:
			if parent := s.up[slot]; parent < 0 {
				s.root = -1
			} else if s.left[parent] == slot {
				s.left[parent] = -1
			} else {
				s.right[parent] = -1
			}
			under, over := s.below[slot], s.above[slot]
			if under >= 0 {
				s.above[under] = over
			}
			if over >= 0 {
				s.below[over] = under
			}
			s.free = append(s.free, slot)
			return
		case r < 0 || l >= 0 && priority(l) > priority(r):
			s.rotate(l)
		default:
			s.rotate(r)
		}
	}
}
