package region

import (
	"cmp"
	"math/bits"
	"slices"

	"mahlstick/runner/plane"
)

// faces finds the connected parts of the plane whose winding numbers inside accepts,
// each as a list of rings, the outer one first. The edges must meet only in common ends.
func faces(edges []edge, inside func(winding int32) bool) [][][]plane.Point {
	m := newArrangement(edges)
	m.wind()
	return m.trace(inside)
}

// arrangement is an arrangement of edges as half-edges: 2*e runs from A to B of edge
// e, 2*e+1 back.
type arrangement struct {
	edges  []edge
	tree   *tree // over edges
	points []plane.Point
	from   []int32 // point that a half-edge leaves
	// The half-edges that leave point p, counter-clockwise from straight down
	// (exclusive), are out[first[p]:first[p+1]]; at is the index of a half-edge in
	// out.
	first, out, at []int32
	left           []int32 // winding number to the left of a half-edge
	part           []int32 // connected part that a point belongs to
}

func newArrangement(edges []edge) *arrangement {
	m := &arrangement{edges: slices.Clone(edges)}
	slices.SortFunc(m.edges, func(e, f edge) int {
		return cmp.Or(cmp.Compare(morton(e.segment), morton(f.segment)), compareSegments(e.segment, f.segment))
	})
	m.tree = newTree(len(m.edges), func(i int) plane.Box { return m.edges[i].box() })
	n := 2 * len(m.edges)
	m.points = make([]plane.Point, 0, n)
	for _, e := range m.edges {
		m.points = append(m.points, e.A, e.B)
	}
	slices.SortFunc(m.points, plane.Point.Compare)
	m.points = slices.Compact(m.points)
	m.from = make([]int32, n)
	m.first = make([]int32, len(m.points)+1)
	for i, e := range m.edges {
		a, _ := slices.BinarySearchFunc(m.points, e.A, plane.Point.Compare)
		b, _ := slices.BinarySearchFunc(m.points, e.B, plane.Point.Compare)
		m.from[2*i], m.from[2*i+1] = int32(a), int32(b)
		m.first[a+1]++
		m.first[b+1]++
	}
	for p := range m.points {
		m.first[p+1] += m.first[p]
	}
	m.out = make([]int32, n)
	m.at = make([]int32, n)
	next := slices.Clone(m.first)
	for h, p := range m.from {
		m.out[next[p]] = int32(h)
		next[p]++
	}
	for p := range m.points {
		around := m.out[m.first[p]:m.first[p+1]]
		slices.SortFunc(around, func(g, h int32) int { return m.compareDirections(g, h) })
		for i, h := range around {
			m.at[h] = m.first[p] + int32(i)
		}
	}
	return m
}

func (m *arrangement) to(h int32) int32 { return m.from[h^1] }

// rightward reports whether h runs to the right or straight up.
func (m *arrangement) rightward(h int32) bool { return h&1 == 0 }

// compareDirections orders half-edges from one point counter-clockwise,
// beginning after straight down.
func (m *arrangement) compareDirections(g, h int32) int {
	if m.rightward(g) != m.rightward(h) {
		if m.rightward(g) {
			return -1
		}
		return 1
	}
	p := m.points[m.from[g]]
	turn := plane.Turn(p, m.points[m.to(g)], m.points[m.to(h)])
	return cmp.Compare(0, turn)
}

// weight is the winding number to the left of h minus that to its right.
func (m *arrangement) weight(h int32) int32 {
	if h&1 == 1 {
		return -m.edges[h>>1].Weight
	}
	return m.edges[h>>1].Weight
}

// wind finds the winding number to the left of every half-edge.
func (m *arrangement) wind() {
	m.part = make([]int32, len(m.points))
	for p := range m.part {
		m.part[p] = -1
	}
	m.left = make([]int32, len(m.from))
	var roots []int32
	var queue []int32
	// Points are sorted, so the first of a part is its leftmost, and what lies
	// to the left of it is outside the part.
	for p := range m.points {
		if m.part[p] >= 0 {
			continue
		}
		part := int32(len(roots))
		roots = append(roots, int32(p))
		m.part[p] = part
		for queue = append(queue[:0], int32(p)); len(queue) > 0; {
			q := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, h := range m.out[m.first[q]:m.first[q+1]] {
				if to := m.to(h); m.part[to] < 0 {
					m.part[to] = part
					queue = append(queue, to)
				}
			}
		}
	}
	known := make([]bool, len(m.points))
	for _, root := range roots {
		m.windAround(root, m.windingLeftOf(root), known)
		for queue = append(queue[:0], root); len(queue) > 0; {
			q := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, h := range m.out[m.first[q]:m.first[q+1]] {
				to := m.to(h)
				if known[to] {
					continue
				}
				// Back along h: the left of its twin is its right.
				twin := h ^ 1
				m.windFrom(to, m.at[twin], m.left[h]-m.weight(h), known)
				queue = append(queue, to)
			}
		}
	}
}

// windAround sets the winding numbers around p, from the one to the right of its
// first half-edge.
func (m *arrangement) windAround(p int32, winding int32, known []bool) {
	for i := m.first[p]; i < m.first[p+1]; i++ {
		h := m.out[i]
		winding += m.weight(h)
		m.left[h] = winding
	}
	known[p] = true
}

// windFrom sets the winding numbers around p, from the one to the left of the
// half-edge out[i].
func (m *arrangement) windFrom(p, i, winding int32, known []bool) {
	for n := m.first[p+1] - m.first[p]; n > 0; n-- {
		m.left[m.out[i]] = winding
		if i++; i == m.first[p+1] {
			i = m.first[p]
		}
		winding += m.weight(m.out[i])
	}
	known[p] = true
}

// windingLeftOf is the winding number just to the left of p, the first point of
// its part.
func (m *arrangement) windingLeftOf(p int32) int32 {
	at := m.points[p]
	var winding int32
	m.leftOf(at, func(i int, up bool) {
		if m.part[m.from[2*i]] != m.part[p] {
			if up {
				winding -= m.edges[i].Weight
			} else {
				winding += m.edges[i].Weight
			}
		}
	})
	return winding
}

// leftOf visits the edges that a line from p to the left crosses; up reports that the
// edge runs upwards from A to B. The lower end of an edge belongs to it, the upper
// one does not.
func (m *arrangement) leftOf(p plane.Point, visit func(i int, up bool)) {
	ray := plane.Box{Min: plane.Point{X: -1 << 31, Y: p.Y}, Max: p}
	m.tree.search(ray, func(i int) bool {
		e := m.edges[i]
		switch {
		case e.A.Y <= p.Y && e.B.Y > p.Y:
			if plane.Turn(e.A, e.B, p) < 0 {
				visit(i, true)
			}
		case e.B.Y <= p.Y && e.A.Y > p.Y:
			if plane.Turn(e.B, e.A, p) < 0 {
				visit(i, false)
			}
		}
		return true
	})
}

// trace follows the borders between inside and outside, with the inside on the left.
func (m *arrangement) trace(inside func(int32) bool) [][][]plane.Point {
	tr := &tracer{arrangement: m, walk: make([]int32, len(m.from)), degree: make([]int32, len(m.points)), seen: make([]int32, len(m.points))}
	tr.border = func(h int32) bool { return inside(m.left[h]) && !inside(m.left[h]-m.weight(h)) }
	for h := range m.from {
		if tr.border(int32(h)) {
			tr.degree[m.from[h]]++
		}
	}
	for h := range m.from {
		if tr.walk[h] == 0 && tr.border(int32(h)) {
			tr.follow(int32(h))
		}
	}
	return tr.assemble()
}

// tracer collects the walks along the borders of an arrangement.
type tracer struct {
	arrangement *arrangement
	border      func(h int32) bool
	walk        []int32 // by half-edge: the number of the walk that it belongs to, from 1
	degree      []int32 // by point: the borders that leave it
	seen        []int32 // by point: its position in the path that is followed, from 1
	walks       []faceWalk
}

// follow adds the walk that contains a half-edge.
func (tr *tracer) follow(h int32) {
	m := tr.arrangement
	w := faceWalk{leftmost: m.from[h], face: -1}
	var path []int32
	number := int32(len(tr.walks) + 1)
	for g := h; tr.walk[g] == 0; g = tr.next(g) {
		tr.walk[g] = number
		p := m.from[g]
		w.leftmost = min(w.leftmost, p)
		if k := tr.seen[p]; k != 0 { // a loop is closed
			tr.close(&w, path[k-1:])
			path = path[:k-1]
		}
		path = append(path, p)
		tr.seen[p] = int32(len(path))
	}
	tr.close(&w, path)
	tr.walks = append(tr.walks, w)
}

// close adds a path that ends where it began as a ring of a walk.
func (tr *tracer) close(w *faceWalk, path []int32) {
	w.add(tr.arrangement.ring(path, tr.degree))
	for _, q := range path {
		tr.seen[q] = 0
	}
}

// next is the border that continues a half-edge: the first one clockwise from the
// half-edge's twin.
func (tr *tracer) next(g int32) int32 {
	m := tr.arrangement
	i, to := m.at[g^1], m.from[g^1]
	for {
		if i--; i < m.first[to] {
			i = m.first[to+1] - 1
		}
		if tr.border(m.out[i]) {
			return m.out[i]
		}
	}
}

// faceWalk is one walk along the border of a face, cut into rings that pass each
// point only once.
type faceWalk struct {
	outer    []plane.Point // the ring around the face, nil where the walk lies inside it
	holes    [][]plane.Point
	leftmost int32 // point
	face     int
}

func (w *faceWalk) add(ring []plane.Point) {
	switch area := plane.Area2(ring); {
	case area > 0:
		w.outer = ring
	case area < 0:
		w.holes = append(w.holes, ring)
	}
}

// ring lists the points of a path. Points on a straight line between their neighbours
// are left out if no other border passes through them.
func (m *arrangement) ring(path []int32, degree []int32) []plane.Point {
	ring := make([]plane.Point, 0, len(path))
	for i, p := range path {
		before := m.points[path[(i+len(path)-1)%len(path)]]
		after := m.points[path[(i+1)%len(path)]]
		if degree[p] == 1 && plane.Turn(before, m.points[p], after) == 0 {
			continue
		}
		ring = append(ring, m.points[p])
	}
	return ring
}

// assemble adds each walk without an outer ring to the face around it.
func (tr *tracer) assemble() [][][]plane.Point {
	m, walks := tr.arrangement, tr.walks
	var out [][][]plane.Point
	for i := range walks {
		if walks[i].outer != nil {
			walks[i].face = len(out)
			out = append(out, [][]plane.Point{walks[i].outer})
		}
	}
	// The nearest border to the left of a walk's leftmost point belongs to the same
	// face. Its own walk starts further left and has its face already.
	order := make([]int, 0, len(walks))
	for i := range walks {
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(walks[i].leftmost, walks[j].leftmost) })
	for _, i := range order {
		w := &walks[i]
		if w.face < 0 {
			if h := m.nextLeft(m.points[w.leftmost], tr.border); h >= 0 {
				w.face = walks[tr.walk[h]-1].face
			}
		}
		if w.face >= 0 {
			out[w.face] = append(out[w.face], w.holes...)
		}
	}
	return out
}

// nextLeft is the nearest border half-edge to the left of p, -1 if there is none.
func (m *arrangement) nextLeft(p plane.Point, border func(int32) bool) int32 {
	best := -1
	m.leftOf(p, func(i int, _ bool) {
		if !border(int32(2*i)) && !border(int32(2*i+1)) {
			return
		}
		if best < 0 || rightOf(m.edges[i].segment, m.edges[best].segment, p.Y) {
			best = i
		}
	})
	switch {
	case best < 0:
		return -1
	case border(int32(2 * best)):
		return int32(2 * best)
	default:
		return int32(2*best + 1)
	}
}

// rightOf reports whether s crosses the height y to the right of t or, if they start
// in one point there, just above y. Both must cross that height, and not each other.
func rightOf(s, t segment, y int32) bool {
	// x = A.X + dx*(y-A.Y)/dy; compare by products of 128 bits.
	sn, sd := crossingAt(s, y)
	tn, td := crossingAt(t, y)
	// floor parts first, then the rests as fractions.
	sq, sr := floorDiv(sn, sd)
	tq, tr := floorDiv(tn, td)
	sx, tx := int64(s.A.X)+sq, int64(t.A.X)+tq
	if sx != tx {
		return sx > tx
	}
	hi1, lo1 := bits.Mul64(uint64(sr), uint64(td))
	hi2, lo2 := bits.Mul64(uint64(tr), uint64(sd))
	return cmp.Or(cmp.Compare(hi1, hi2), cmp.Compare(lo1, lo2), cmp.Compare(lean(s)*td, lean(t)*sd)) > 0
}

// lean is how far s moves to the right on its way up.
func lean(s segment) int64 {
	d := int64(s.B.X) - int64(s.A.X)
	if s.B.Y < s.A.Y {
		d = -d
	}
	return d
}

// crossingAt is x - A.X at height y, as a fraction with a positive denominator.
func crossingAt(s segment, y int32) (num, den int64) {
	num = (int64(s.B.X) - int64(s.A.X)) * (int64(y) - int64(s.A.Y))
	den = int64(s.B.Y) - int64(s.A.Y)
	if den < 0 {
		num, den = -num, -den
	}
	return num, den
}

func floorDiv(n, d int64) (quotient, rest int64) {
	quotient, rest = n/d, n%d
	if rest < 0 {
		quotient--
		rest += d
	}
	return quotient, rest
}
