package stroke

import (
	"cmp"
	"slices"

	"mahlstick/runner/axis"
)

// chain is a path through a graph that is painted in one gesture.
type chain struct {
	kind   Kind
	points []axis.Point
	closed bool
	link   int32 // one of its links
	links  int   // how many there are
	// tips reports whether the shape ends at the chain's start, and at its end.
	tips [2]bool
}

// pathCover cuts a graph into the fewest chains, with each link in exactly one.
// At each node as many ends as possible are joined, first those that continue
// straight with little change of width. Short branches into corners are not
// joined: they become corner touches.
type pathCover struct {
	graph  *graph
	corner []bool // by link: a touch that squares a corner
	mate   []end  // by end: the end that it is joined with, or -1
}

// straightOn is 1 minus the cosine of the greatest turn, 30 degrees, at which a
// gesture continues into a corner. If it turned more, the stroke would bend
// into one of the two corners of a square end.
const straightOn = 0.134

func (g *graph) chains() []chain {
	c := &pathCover{graph: g, corner: make([]bool, len(g.links)), mate: make([]end, 2*len(g.links))}
	for e := range c.mate {
		c.mate[e] = -1
	}
	c.findCorners()
	for i := range g.nodes {
		c.join(int32(i))
	}
	return c.follow()
}

// plain counts the ends at a node that are not corner touches.
func (c *pathCover) plain(n int32) int {
	count := 0
	for _, e := range c.graph.nodes[n].ends {
		if !c.corner[e.link()] {
			count++
		}
	}
	return count
}

// findCorners marks the branches that only square a corner. Such a branch has a
// free end, is shorter than the mark is wide where it leaves, and leaves where
// other links run through, or at the edge of a place that is filled. Once they
// are marked, the branch from which they leave may be such a branch too, as at
// a bevelled corner: so the search is repeated.
func (c *pathCover) findCorners() {
	for {
		var found []int32
		for i := range c.graph.links {
			if l := &c.graph.links[i]; !c.corner[i] && l.nodes[0] != l.nodes[1] {
				if c.isCorner(l, 0) || c.isCorner(l, 1) {
					found = append(found, int32(i))
				}
			}
		}
		if len(found) == 0 {
			break
		}
		for _, i := range found {
			c.corner[i] = true
		}
	}
	for _, part := range c.graph.parts() {
		c.keepOne(part)
	}
}

// isCorner reports whether a link squares a corner, if its end number free is
// the free one.
func (c *pathCover) isCorner(l *link, free int) bool {
	nodes := c.graph.nodes
	tip, root := l.nodes[free], l.nodes[1-free]
	if nodes[tip].cut || c.plain(tip) != 1 || l.length >= 2*float64(nodes[root].at.R) {
		return false
	}
	if nodes[root].cut && c.plain(root) == 1 {
		return nodes[tip].at.R < nodes[root].at.R
	}
	return c.plain(root) >= 3
}

// keepOne makes a main gesture through the middle of a connected part that
// consists of corner touches alone, such as a square.
func (c *pathCover) keepOne(part []int32) {
	nodes := c.graph.nodes
	best := part[0]
	for _, n := range part {
		if nodes[n].cut || slices.ContainsFunc(nodes[n].ends, c.isPlain) {
			return
		}
		if nodes[n].at.R > nodes[best].at.R {
			best = n
		}
	}
	if len(nodes[best].ends) == 0 {
		return
	}
	pairs := c.pairs(best, func(end) bool { return true })
	if len(pairs) == 0 {
		c.corner[nodes[best].ends[0].link()] = false
		return
	}
	c.corner[pairs[0].a.link()] = false
	c.corner[pairs[0].b.link()] = false
}

func (c *pathCover) isPlain(e end) bool { return !c.corner[e.link()] }

// join joins the ends at a node.
func (c *pathCover) join(n int32) {
	c.joinBest(c.pairs(n, c.isPlain), 3)
	if c.plain(n) == 1 {
		// The stroke ends here, except for its corners. If one of them is
		// straight ahead, the stroke continues into it.
		for _, p := range c.pairs(n, func(end) bool { return true }) {
			if c.isPlain(p.a) != c.isPlain(p.b) {
				if p.turn <= straightOn {
					c.corner[p.a.link()], c.corner[p.b.link()] = false, false
					c.joinBest([]pair{p}, 3)
				}
				break
			}
		}
	}
	if c.plain(n) == 0 && len(c.graph.nodes[n].ends) > 1 {
		// In a bevelled corner two touches are joined to one.
		c.joinBest(c.pairs(n, func(end) bool { return true })[:1], 3)
	}
}

// joinBest joins, in order, the pairs that cost at most the given cost and
// whose ends are both still free.
func (c *pathCover) joinBest(pairs []pair, most float64) {
	for _, p := range pairs {
		if c.mate[p.a] < 0 && c.mate[p.b] < 0 && p.cost <= most {
			c.mate[p.a], c.mate[p.b] = p.b, p.a
		}
	}
}

// pair is two ends at one node that could be joined.
type pair struct {
	a, b end
	turn float64 // 1 minus the cosine of the turn from one into the other
	cost float64
}

// pairs lists the pairs of ends at a node, the best first.
func (c *pathCover) pairs(n int32, use func(end) bool) []pair {
	type leaving struct {
		e end
		departure
	}
	var ends []leaving
	for _, e := range c.graph.nodes[n].ends {
		if use(e) {
			ends = append(ends, leaving{e, c.graph.departure(e)})
		}
	}
	var out []pair
	for i, a := range ends {
		for _, b := range ends[:i] {
			out = append(out, pair{b.e, a.e, a.turn(b.departure), a.cost(b.departure)})
		}
	}
	slices.SortStableFunc(out, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.cost, q.cost), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	return out
}

// follow walks along the joined links, open chains first.
func (c *pathCover) follow() []chain {
	done := make([]bool, len(c.graph.links))
	var out []chain
	for e := range c.mate {
		if c.mate[e] < 0 && !done[end(e).link()] {
			out = append(out, c.walk(end(e), done))
		}
	}
	for i := range c.graph.links {
		if !done[i] {
			ring := c.walk(end(2*i), done)
			ring.closed = true
			out = append(out, ring)
		}
	}
	// Corner touches after the gestures.
	slices.SortStableFunc(out, func(a, b chain) int { return cmp.Compare(a.kind, b.kind) })
	return out
}

// walk follows the joined links, beginning at one end.
func (c *pathCover) walk(from end, done []bool) chain {
	out := chain{kind: Corner, link: from.link()}
	first, last := c.graph.node(from), int32(0)
	for e := from; e >= 0 && !done[e.link()]; e = c.mate[e.other()] {
		done[e.link()] = true
		out.links++
		if c.isPlain(e) {
			out.kind = Main
		}
		c.graph.from(e, func(p axis.Point) bool {
			if n := len(out.points); n == 0 || out.points[n-1] != p {
				out.points = append(out.points, p)
			}
			return true
		})
		last = c.graph.node(e.other())
	}
	out.tips = [2]bool{c.graph.free(first), c.graph.free(last)}
	if p := out.points; out.kind == Corner && p[0].R < p[len(p)-1].R {
		slices.Reverse(out.points)
		out.tips[0], out.tips[1] = out.tips[1], out.tips[0]
	}
	return out
}
