package axis

import (
	"errors"

	"mahlstick/runner/plane"
)

// A mesh is a triangulation of points on the grid, Delaunay except for the edges that
// are walls: no corner that can be seen from a triangle lies inside its circle. Points
// are inserted one after the other: a walk from a triangle near by finds the place, and
// flips make the triangulation Delaunay again.
//
// Source: C. L. Lawson, Software for C1 surface interpolation, in Mathematical
// Software III, 1977, 161-194 (from memory).
//
// Triangles are numbered; side k of a triangle runs from corner k to corner
// k+1. A link names the same side as seen from the neighbour: the neighbour's
// number times 4, plus its side, plus wallBit if the side is a wall.
// The first four points are the corners of a box round all others.
type mesh struct {
	pts     []plane.Point
	tris    []triangle
	at      []int32 // for each point a triangle with that corner
	stack   []int32
	seed    uint64
	scratch wallScratch
}

type triangle struct {
	v    [3]int32
	link [3]int32
}

const wallBit = 1 << 30

var (
	errCrossing = errors.New("edges of the region cross each other")
	errTouch    = errors.New("a vertex of the region lies inside an edge")
)

var after3 = [3]int32{1, 2, 0}
var before3 = [3]int32{2, 0, 1}

// reset makes the mesh a box around points within low and high, with room for n points.
func (m *mesh) reset(low, high plane.Point, n int) {
	reach := max(high.X-low.X, high.Y-low.Y) + 16
	low.X, low.Y, high.X, high.Y = low.X-reach, low.Y-reach, high.X+reach, high.Y+reach
	m.pts = grow(m.pts, n+4)[:0]
	m.tris = grow(m.tris, 2*n+2)[:0]
	m.at = grow(m.at, n+4)[:0]
	m.pts = append(m.pts, low, plane.Point{X: high.X, Y: low.Y}, high, plane.Point{X: low.X, Y: high.Y})
	m.tris = append(m.tris,
		triangle{v: [3]int32{0, 1, 2}, link: [3]int32{-1, -1, 1 << 2}},
		triangle{v: [3]int32{0, 2, 3}, link: [3]int32{0<<2 | 2, -1, -1}})
	m.at = append(m.at, 0, 0, 0, 1)
	m.scratch.looks = 0
	m.seed = 0x9e3779b97f4a7c15
}

// join makes side k of t and the side named by link neighbours. The side is a wall if
// link has the bit.
func (m *mesh) join(t, k, link int32) {
	m.tris[t].link[k] = link
	if link >= 0 {
		n := link &^ wallBit
		m.tris[n>>2].link[n&3] = t<<2 | k | link&wallBit
	}
}

// locate walks from triangle t to the one that holds p. The second result is -1 if p
// lies inside that triangle, k if it lies on side k, 3+k if it is corner k.
func (m *mesh) locate(p plane.Point, t int32) (int32, int32) {
	from := int32(-1)
walk:
	for {
		tr := &m.tris[t]
		// A walk that always tests the sides in the same order may run in circles
		// if there are walls, so the first side is chosen pseudo-randomly.
		m.seed ^= m.seed << 13
		m.seed ^= m.seed >> 7
		m.seed ^= m.seed << 17
		k := int32((m.seed >> 33) * 3 >> 31)
		on := int32(-1)
		for range 3 {
			if k != from {
				l := after3[k]
				turn := plane.Turn(m.pts[tr.v[k]], m.pts[tr.v[l]], p)
				if turn < 0 {
					n := tr.link[k] &^ wallBit
					t, from = n>>2, n&3
					continue walk
				}
				if turn == 0 {
					switch {
					case on < 0:
						on = k
					case on == l: // sides k and k+1 meet in corner k+1
						on = 3 + l
					default: // on == k-1: they meet in corner k
						on = 3 + k
					}
				}
			}
			k = after3[k]
		}
		return t, on
	}
}

// insert adds the point p, looking for its place from triangle t on. It returns the
// point's number; if the point exists already, that of the existing one.
func (m *mesh) insert(p plane.Point, t int32) (int32, error) {
	t, on := m.locate(p, t)
	if on >= 3 {
		return m.tris[t].v[on-3], nil
	}
	id := int32(len(m.pts))
	if on >= 0 && m.tris[t].link[on]&wallBit != 0 {
		return 0, errTouch
	}
	m.pts = append(m.pts, p)
	m.stack = m.stack[:0]
	if on < 0 {
		tr := m.tris[t]
		t1, t2 := int32(len(m.tris)), int32(len(m.tris)+1)
		a, b, c := tr.v[0], tr.v[1], tr.v[2]
		m.tris = append(m.tris, triangle{v: [3]int32{id, b, c}}, triangle{v: [3]int32{id, c, a}})
		m.tris[t].v = [3]int32{id, a, b}
		m.join(t, 0, t2<<2|2)
		m.join(t1, 0, t<<2|2)
		m.join(t2, 0, t1<<2|2)
		m.join(t, 1, tr.link[0])
		m.join(t1, 1, tr.link[1])
		m.join(t2, 1, tr.link[2])
		m.at = append(m.at, t)
		m.at[a], m.at[b], m.at[c] = t, t, t1
		m.stack = append(m.stack, t, t1, t2)
	} else {
		// The point splits side on of t, a to b, and the neighbour u beyond.
		tr := m.tris[t]
		l, k := after3[on], before3[on]
		a, b, c := tr.v[on], tr.v[l], tr.v[k]
		u, j := tr.link[on]>>2, tr.link[on]&3
		ur := m.tris[u]
		d := ur.v[before3[j]]
		ad, db := ur.link[after3[j]], ur.link[before3[j]]
		bc, ca := tr.link[l], tr.link[k]
		t1, u1 := int32(len(m.tris)), int32(len(m.tris)+1)
		m.tris = append(m.tris, triangle{v: [3]int32{id, c, a}}, triangle{v: [3]int32{id, d, b}})
		m.tris[t].v = [3]int32{id, b, c}
		m.tris[u].v = [3]int32{id, a, d}
		m.join(t, 0, u1<<2|2)
		m.join(t1, 0, t<<2|2)
		m.join(u, 0, t1<<2|2)
		m.join(u1, 0, u<<2|2)
		m.join(t, 1, bc)
		m.join(t1, 1, ca)
		m.join(u, 1, ad)
		m.join(u1, 1, db)
		m.at = append(m.at, t)
		m.at[a], m.at[b], m.at[c], m.at[d] = u, t, t, u
		m.stack = append(m.stack, t, t1, u, u1)
	}
	for len(m.stack) > 0 {
		t := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		tr := &m.tris[t]
		link := tr.link[1]
		if link < 0 || link&wallBit != 0 {
			continue
		}
		d := m.tris[link>>2].v[before3[link&3]]
		if plane.InCircle(m.pts[id], m.pts[tr.v[1]], m.pts[tr.v[2]], m.pts[d]) > 0 {
			m.flip(t, 1)
			m.stack = append(m.stack, t, link>>2)
		}
	}
	return id, nil
}

// flip replaces side k of t by the other diagonal of the two triangles at it. The side
// must have two neighbours and must not be a wall. If it ran from a to b, and c is the
// corner of t opposite it, t is then (c, a, d) and its neighbour (c, d, b).
func (m *mesh) flip(t, k int32) {
	tr := m.tris[t]
	l, o := after3[k], before3[k]
	a, b, c := tr.v[k], tr.v[l], tr.v[o]
	u, j := tr.link[k]>>2, tr.link[k]&3
	ur := m.tris[u]
	d := ur.v[before3[j]]
	m.tris[t].v = [3]int32{c, a, d}
	m.tris[u].v = [3]int32{c, d, b}
	m.tris[t].link[2], m.tris[u].link[0] = u<<2, t<<2|2
	m.join(t, 0, tr.link[o])
	m.join(t, 1, ur.link[after3[j]])
	m.join(u, 1, ur.link[before3[j]])
	m.join(u, 2, tr.link[l])
	m.at[a], m.at[b], m.at[c], m.at[d] = t, u, t, t
}

// side finds the triangle and its side that runs from a to b; ok reports whether there
// is one.
func (m *mesh) side(a, b int32) (t, k int32, ok bool) {
	first := m.at[a]
	for t = first; ; {
		tr := &m.tris[t]
		k = corner(tr, a)
		if tr.v[after3[k]] == b {
			return t, k, true
		}
		link := tr.link[before3[k]]
		if link < 0 {
			break
		}
		if t = link &^ wallBit >> 2; t == first {
			return 0, 0, false
		}
	}
	// A corner of the box has no triangles all round: try the other way.
	for t = first; ; {
		tr := &m.tris[t]
		k = corner(tr, a)
		if tr.v[after3[k]] == b {
			return t, k, true
		}
		link := tr.link[k]
		if link < 0 {
			return 0, 0, false
		}
		t = link &^ wallBit >> 2
	}
}

// enter finds the triangle at a that the line to b enters. a must not be a corner of
// the box.
func (m *mesh) enter(a, b int32) (int32, error) {
	pa, pb := m.pts[a], m.pts[b]
	t := m.at[a]
	for {
		tr := &m.tris[t]
		k := corner(tr, a)
		x, y := m.pts[tr.v[after3[k]]], m.pts[tr.v[before3[k]]]
		turn := plane.Turn(pa, pb, x)
		if turn == 0 && int64(x.X-pa.X)*int64(pb.X-pa.X)+int64(x.Y-pa.Y)*int64(pb.Y-pa.Y) > 0 {
			return 0, errTouch
		}
		if turn < 0 && plane.Turn(pa, pb, y) > 0 {
			return t, nil
		}
		if t = tr.link[before3[k]] &^ wallBit >> 2; t == m.at[a] {
			return 0, errCrossing
		}
	}
}

func corner(tr *triangle, a int32) int32 {
	switch a {
	case tr.v[0]:
		return 0
	case tr.v[1]:
		return 1
	}
	return 2
}

// grow returns a slice of n elements, in the old memory if that is large enough.
func grow[T any](s []T, n int) []T {
	if cap(s) >= n {
		return s[:n]
	}
	return make([]T, n, n+n/8)
}
