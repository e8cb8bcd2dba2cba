package stroke

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/axis"
)

// chain is a path through a net, to be painted in one go.
type chain struct {
	kind   Kind
	points []axis.Point
	closed bool
	// tips says of its start and its end whether the shape ends there too.
	tips [2]bool
}

// weave cuts a net into the fewest chains such that every link is in just one:
// at every node as many ends as possible are joined, those first that run
// straight on with little change of width. Short branches into corners are
// left out of that and follow as touches of their own.
type weave struct {
	*net
	corner []bool // by link: a touch that squares a corner
	mate   []end  // by end: the end that it is joined with, or -1
}

// straightOn is the greatest turn, as 1 minus the cosine of 30 degrees, with
// which a gesture runs on into a corner: further and it would leave the stroke
// in order to paint one of the two corners of a square end.
const straightOn = 0.134

func (n *net) chains() []chain {
	w := &weave{net: n, corner: make([]bool, len(n.links)), mate: make([]end, 2*len(n.links))}
	for e := range w.mate {
		w.mate[e] = -1
	}
	w.findCorners()
	for i := range w.nodes {
		w.join(int32(i))
	}
	return w.follow()
}

// plain counts the ends at a node that are not corners.
func (w *weave) plain(n int32) int {
	count := 0
	for _, e := range w.nodes[n].ends {
		if !w.corner[e.link()] {
			count++
		}
	}
	return count
}

// findCorners marks the branches that only square a corner: they end free,
// are shorter than the mark is wide where they leave, and leave at a place
// through which other links run, or at the edge of a place that is filled.
// When those are off, what they left from may be such a branch itself, as at
// a corner that was bevelled.
func (w *weave) findCorners() {
	for {
		var found []int32
		for i := range w.links {
			if l := &w.links[i]; !w.corner[i] && l.nodes[0] != l.nodes[1] {
				if w.isCorner(l, 0) || w.isCorner(l, 1) {
					found = append(found, int32(i))
				}
			}
		}
		if len(found) == 0 {
			break
		}
		for _, i := range found {
			w.corner[i] = true
		}
	}
	w.keepOne()
}

// isCorner tells whether the link's end with number free is one, the other
// being where it leaves.
func (w *weave) isCorner(l *link, free int) bool {
	tip, root := l.nodes[free], l.nodes[1-free]
	if w.nodes[tip].cut || w.plain(tip) != 1 || l.length >= 2*float64(w.nodes[root].at.R) {
		return false
	}
	if w.nodes[root].cut && w.plain(root) == 1 {
		return w.nodes[tip].at.R < w.nodes[root].at.R
	}
	return w.plain(root) >= 3
}

// keepOne makes a main gesture through the middle of every connected part that
// consists of corners alone, such as a square.
func (w *weave) keepOne() {
	part := make([]int32, len(w.nodes)) // from 1
	for start := range w.nodes {
		if part[start] != 0 {
			continue
		}
		part[start] = int32(start) + 1
		queue := []int32{int32(start)}
		best, whole := int32(start), true
		for k := 0; k < len(queue); k++ {
			n := queue[k]
			if w.nodes[n].cut {
				whole = false
			}
			if w.nodes[n].at.R > w.nodes[best].at.R {
				best = n
			}
			for _, e := range w.nodes[n].ends {
				whole = whole && w.corner[e.link()]
				if to := w.node(e.other()); part[to] == 0 {
					part[to] = int32(start) + 1
					queue = append(queue, to)
				}
			}
		}
		if !whole || len(w.nodes[best].ends) == 0 {
			continue
		}
		pairs := w.pairs(best, func(end) bool { return true })
		if len(pairs) == 0 {
			w.corner[w.nodes[best].ends[0].link()] = false
			continue
		}
		w.corner[pairs[0].a.link()] = false
		w.corner[pairs[0].b.link()] = false
	}
}

// join joins the ends at a node.
func (w *weave) join(n int32) {
	isPlain := func(e end) bool { return !w.corner[e.link()] }
	w.joinBest(w.pairs(n, isPlain), 3)
	if w.plain(n) == 1 {
		// The stroke ends here but for its corners: into one that lies straight
		// ahead it runs on.
		for _, p := range w.pairs(n, func(end) bool { return true }) {
			if isPlain(p.a) != isPlain(p.b) {
				if p.turn <= straightOn {
					w.corner[p.a.link()], w.corner[p.b.link()] = false, false
					w.joinBest([]pair{p}, 3)
				}
				break
			}
		}
	}
	if w.plain(n) == 0 && len(w.nodes[n].ends) > 1 {
		// Inside a bevelled corner one touch runs through.
		w.joinBest(w.pairs(n, func(end) bool { return true })[:1], 3)
	}
}

func (w *weave) joinBest(pairs []pair, most float64) {
	for _, p := range pairs {
		if w.mate[p.a] < 0 && w.mate[p.b] < 0 && p.cost <= most {
			w.mate[p.a], w.mate[p.b] = p.b, p.a
		}
	}
}

// pair is two ends at one node that might be joined.
type pair struct {
	a, b end
	turn float64 // 1 minus the cosine of the turn from one into the other
	cost float64
}

// pairs lists the pairs of ends at a node, the best first.
func (w *weave) pairs(n int32, use func(end) bool) []pair {
	type leaving struct {
		e       end
		x, y, r float64
	}
	var ends []leaving
	for _, e := range w.nodes[n].ends {
		if use(e) {
			x, y, r := w.leaving(e)
			ends = append(ends, leaving{e, x, y, r})
		}
	}
	var out []pair
	for i, a := range ends {
		for _, b := range ends[:i] {
			turn := 1 + mul(a.x, b.x) + mul(a.y, b.y)
			out = append(out, pair{b.e, a.e, turn, turn + mul(0.5, math.Abs(a.r-b.r)/(a.r+b.r+1))})
		}
	}
	slices.SortStableFunc(out, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.cost, q.cost), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	return out
}

// leaving is the direction in which a link leaves its node, as a unit vector,
// and its radius, both taken one radius along: nearer the axis still bends
// towards the other branches.
func (w *weave) leaving(e end) (x, y, r float64) {
	l := &w.links[e.link()]
	at := w.nodes[w.node(e)].at
	reach := max(float64(at.R), 1)
	to, walked := at, 0.0
	for i := range l.points {
		p := l.points[i]
		if e.far() {
			p = l.points[len(l.points)-1-i]
		}
		walked += distance(to, p)
		to = p
		if walked >= reach {
			break
		}
	}
	d := distance(at, to)
	if d == 0 {
		return 0, 0, float64(to.R)
	}
	return (float64(to.X) - float64(at.X)) / d, (float64(to.Y) - float64(at.Y)) / d, float64(to.R)
}

// follow walks along the joined links, open chains first.
func (w *weave) follow() []chain {
	done := make([]bool, len(w.links))
	var out []chain
	for e := range w.mate {
		if w.mate[e] < 0 && !done[end(e).link()] {
			out = append(out, w.walk(end(e), done))
		}
	}
	for i := range w.links {
		if !done[i] {
			c := w.walk(end(2*i), done)
			c.closed = true
			out = append(out, c)
		}
	}
	// Touches after the gestures that they follow.
	slices.SortStableFunc(out, func(a, b chain) int { return cmp.Compare(a.kind, b.kind) })
	return out
}

// walk follows the joined links from an end on.
func (w *weave) walk(from end, done []bool) chain {
	c := chain{kind: Corner}
	first, last := w.node(from), int32(0)
	for e := from; e >= 0 && !done[e.link()]; e = w.mate[e.other()] {
		l := &w.links[e.link()]
		done[e.link()] = true
		if !w.corner[e.link()] {
			c.kind = Main
		}
		for i := range l.points {
			p := l.points[i]
			if e.far() {
				p = l.points[len(l.points)-1-i]
			}
			if n := len(c.points); n == 0 || c.points[n-1] != p {
				c.points = append(c.points, p)
			}
		}
		last = w.node(e.other())
	}
	c.tips = [2]bool{w.free(first), w.free(last)}
	if p := c.points; c.kind == Corner && p[0].R < p[len(p)-1].R {
		slices.Reverse(c.points)
		c.tips[0], c.tips[1] = c.tips[1], c.tips[0]
	}
	return c
}

// free says whether the shape ends at a node.
func (w *weave) free(n int32) bool { return len(w.nodes[n].ends) == 1 && !w.nodes[n].cut }
