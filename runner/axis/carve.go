package axis

import "mahlstick/runner/plane"

// wallScratch is the memory of addWall.
type wallScratch struct {
	free        []int32 // triangles that the edge crosses
	left, right []holeSide
	looks       int // corners looked at to fill holes, since the mesh was reset
}

// holeSide is a side of the hole that the crossed triangles leave. It runs from
// corner p to that of the next side. side is how the crossed triangle named it, link
// what lies beyond. If that is another crossed triangle, twin is its side, and own
// is how a new triangle names this one.
type holeSide struct {
	p, side, link int32
	own           int32
	twin          *holeSide
}

// addWall makes the edge from a to b a wall. The triangles that it crosses are
// removed, and the two halves of the hole are filled again from the edge outwards,
// each time with the corner whose circle is empty.
//
// That corner can always be seen from the edge: every corner of a half is the end of
// a side that crossed the edge, and anything between would have crossed that side.
//
// Source: M. V. Anglada, An improved incremental algorithm for constructing
// restricted Delaunay triangulations, Computers & Graphics 21 (1997) 215-223
// (from memory).
func (m *mesh) addWall(a, b int32) error {
	t, k, ok := m.side(a, b)
	if !ok {
		t, err := m.enter(a, b)
		if err != nil {
			return err
		}
		if err := m.removeCrossed(a, b, t); err != nil {
			return err
		}
		c := &m.scratch
		m.pairTwins(c.left, c.left)
		m.pairTwins(c.left, c.right)
		m.pairTwins(c.right, c.right)
		// The left half has the edge below it, from a to b, and its sides run back
		// from b to a. In the right half both directions are reversed.
		low, high := m.fill(c.right, 0, len(c.right)-1), m.fill(c.left, 0, len(c.left)-1)
		m.join(low>>2, low&3, high|wallBit)
		return nil
	}
	m.join(t, k, m.tris[t].link[k]|wallBit)
	return nil
}

// removeCrossed collects the triangles that the line from a to b crosses, and the
// sides of the hole. t is the first triangle, at a.
func (m *mesh) removeCrossed(a, b, t int32) error {
	pa, pb := m.pts[a], m.pts[b]
	c := &m.scratch
	c.free, c.left, c.right = append(c.free[:0], t), c.left[:0], c.right[:0]
	k := after3[corner(&m.tris[t], a)]
	c.right = append(c.right, m.holeSideOf(t, before3[k]))
	c.left = append(c.left, m.holeSideOf(t, after3[k]))
	for done := false; !done; {
		// The line leaves t by side k, which runs from its right to its left.
		link := m.tris[t].link[k]
		if link < 0 || link&wallBit != 0 {
			return errCrossing
		}
		t, k = link>>2, link&3
		c.free = append(c.free, t)
		z := m.tris[t].v[before3[k]]
		turn := plane.Turn(pa, pb, m.pts[z])
		switch {
		case z == b:
			c.right = append(c.right, m.holeSideOf(t, after3[k]))
			c.left = append(c.left, m.holeSideOf(t, before3[k]))
			done = true
		case turn == 0:
			return errTouch
		case turn > 0:
			c.left = append(c.left, m.holeSideOf(t, before3[k]))
			k = after3[k]
		default:
			c.right = append(c.right, m.holeSideOf(t, after3[k]))
			k = before3[k]
		}
	}
	for i, j := 0, len(c.left)-1; i < j; i, j = i+1, j-1 {
		c.left[i], c.left[j] = c.left[j], c.left[i]
	}
	c.left = append(c.left, holeSide{p: a})
	c.right = append(c.right, holeSide{p: b})
	for _, t := range c.free {
		m.tris[t].v[0] = -1
	}
	return nil
}

func (m *mesh) holeSideOf(t, k int32) holeSide {
	return holeSide{m.tris[t].v[k], t<<2 | k, m.tris[t].link[k], -1, nil}
}

// pairTwins pairs sides in p and q that are the same side seen from the two crossed
// triangles next to it.
func (m *mesh) pairTwins(p, q []holeSide) {
	for i := range p[:len(p)-1] {
		link := p[i].link
		if m.tris[max(link, 0)&^wallBit>>2].v[0] >= 0 || p[i].twin != nil {
			continue
		}
		for j := range q[:len(q)-1] {
			if q[j].side == link&^wallBit {
				p[i].twin, q[j].twin = &q[j], &p[i]
				break
			}
		}
	}
}

// fill triangulates between the sides lo to hi of the hole and the side that closes
// them, from corner hi to corner lo. It returns that side as its new triangle names
// it.
func (m *mesh) fill(banks []holeSide, lo, hi int) int32 {
	a, b := m.pts[banks[hi].p], m.pts[banks[lo].p]
	mid := lo + 1
	m.scratch.looks += hi - lo
	for i := lo + 2; i < hi; i++ {
		if plane.InCircle(a, b, m.pts[banks[mid].p], m.pts[banks[i].p]) > 0 {
			mid = i
		}
	}
	c := &m.scratch
	t := c.free[len(c.free)-1]
	c.free = c.free[:len(c.free)-1]
	v := [3]int32{banks[hi].p, banks[lo].p, banks[mid].p}
	m.tris[t].v = v
	m.at[v[0]], m.at[v[1]], m.at[v[2]] = t, t, t
	m.attach(t, 1, banks, lo, mid)
	m.attach(t, 2, banks, mid, hi)
	return t << 2
}

// attach joins side k of t to the sides lo to hi of the hole. If they are several, the
// part between is filled first.
func (m *mesh) attach(t, k int32, banks []holeSide, lo, hi int) {
	x := &banks[lo]
	switch {
	case hi > lo+1:
		m.join(t, k, m.fill(banks, lo, hi))
	case x.twin == nil:
		m.join(t, k, x.link)
	default:
		x.own = t<<2 | k
		if x.twin.own >= 0 {
			m.join(t, k, x.twin.own|x.link&wallBit)
		}
	}
}
