package region

import (
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
)

// outline is one drawn contour, cleaned: rings that meet only in single points,
// outer ones counter-clockwise, holes clockwise.
type outline struct {
	contour *Contour
	rings   [][]plane.Point
	simple  bool  // one ring, which nowhere touches itself
	area2   int64 // twice its area
	box     plane.Box
	edges   []segment
	tree    *tree // over edges
}

// repairContour repairs one contour by the non-zero rule: if a stroke's outline
// crosses itself, both loops are painted. It returns nil and false if the contour is
// too tangled.
func repairContour(c *Contour, b *builder) (*outline, bool) {
	ring, found := tidy(c.Points)
	b.noteTidied(c, found)
	if ring == nil {
		return &outline{contour: c}, true
	}
	p, touches, crossings, ok := simpleOutline(c, ring, &b.work)
	if !ok {
		return nil, false
	}
	if p != nil {
		return p, true
	}
	b.note(SelfTouch, c, touches)
	b.note(SelfCross, c, crossings)
	faces, ok := b.arrange([][]plane.Point{ring}, contour.NonZero.Inside)
	if !ok {
		return nil, false
	}
	return newOutline(c, faces), true
}

// simpleOutline makes an outline of a tidied ring if the ring is simple. If not, it
// counts where the ring meets itself.
func simpleOutline(c *Contour, ring []plane.Point, work *budget) (p *outline, touches, crossings count, ok bool) {
	edges := segments([][]plane.Point{ring})
	t := segmentTree(edges)
	// Comparing edges whose boxes overlap is fastest, unless long slanting edges lie
	// side by side.
	few := budget{1<<10 + 16*len(edges)}
	touches, crossings, ok = selfMeetings(edges, t, &few)
	if !ok {
		if isSimple(ring) {
			touches, crossings = count{}, count{}
		} else if touches, crossings, ok = selfMeetings(edges, t, work); !ok {
			return nil, touches, crossings, false
		}
	}
	if touches.n > 0 || crossings.n > 0 {
		return nil, touches, crossings, true
	}
	a := plane.Area2(ring)
	if a < 0 {
		// The edges keep their places, so that the tree stays valid. They run
		// backwards now: edge i follows edge i+1.
		ring, a = reversed(ring), -a
		for i := range edges {
			edges[i].A, edges[i].B = edges[i].B, edges[i].A
		}
	}
	return &outline{contour: c, rings: [][]plane.Point{ring}, simple: true, area2: a, box: t.boxes[0], edges: edges, tree: t}, touches, crossings, true
}

func newOutline(c *Contour, faces [][][]plane.Point) *outline {
	p := &outline{contour: c}
	for _, f := range faces {
		p.rings = append(p.rings, f...)
	}
	if len(p.rings) > 0 {
		p.area2 = area2(p.rings)
		p.edges = segments(p.rings)
		p.tree = segmentTree(p.edges)
		p.box = p.tree.boxes[0]
	}
	return p
}

func positive(winding int32) bool { return winding > 0 }

// budget limits how many pairs of edges are compared in all. Drawings need a few per
// edge; a tangle that needs more is refused, the same on every computer.
type budget struct{ left int }

func newBudget(edges int) budget { return budget{1<<28 + 1<<11*edges} }

func (b *budget) spend() bool {
	b.left--
	return b.left >= 0
}

// count is how often something was found, and where it was found first.
type count struct {
	n  int
	at plane.Point
}

func (c *count) add(at plane.Point) {
	if c.n++; c.n == 1 {
		c.at = at
	}
}

// selfMeetings counts where the edges of one tidied ring touch and cross each
// other. It returns false if too many pairs are close together.
func selfMeetings(edges []segment, t *tree, work *budget) (touches, crossings count, ok bool) {
	n := len(edges)
	ok = t.pairs(func(i, j int) bool {
		m := meet(edges[i], edges[j])
		switch {
		case m == apart:
		case m == crosses:
			crossings.add(crossing(edges[i], edges[j]))
		case m == atEnds && (j == i+1 || i == 0 && j == n-1):
			// neighbours along the ring
		default:
			touches.add(meetingPoint(edges[i], edges[j]))
		}
		return work.spend()
	})
	return touches, crossings, ok
}

// meetingPoint is an end of one of two touching segments; it lies on the other.
func meetingPoint(s, t segment) plane.Point {
	for _, p := range [...]plane.Point{t.A, t.B} {
		if onSegment(p, s) {
			return p
		}
	}
	if onSegment(s.A, t) {
		return s.A
	}
	return s.B
}

func onSegment(p plane.Point, s segment) bool {
	b := s.box()
	return b.Has(p) && plane.Turn(s.A, s.B, p) == 0
}
