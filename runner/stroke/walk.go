package stroke

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/axis"
)

// pass is one way over a link from one of its ends: four times the link's
// index, plus 2 if it is the second time, plus 1 from the far end.
type pass int32

func passOf(e end, second bool) pass {
	p := pass(e.link())*4 + pass(e&1)
	if second {
		p += 2
	}
	return p
}

func (p pass) end() end    { return end(p>>2)*2 + end(p&1) }
func (p pass) other() pass { return p ^ 1 }

// once numbers the ways over links, without their direction.
func (p pass) once() int { return int(p >> 1) }

// none is what the ends of a walk are joined with.
const none pass = -1

// walk goes through a part of a graph in one chain: it goes out into a corner
// and comes back, and over each link at most twice.
type walk struct {
	*route
	mate  map[pass]pass
	leave map[end]departure
	group map[int]int // a union-find forest of the ways over links that are joined
}

// walks replaces the chains of each connected part of a graph by one. A part
// that is one chain keeps it. narrow is the radius at which turning points at
// free tips are cut off, 0 for not at all. It also returns which links are
// gone over twice.
func (g *graph) walks(chains []chain, narrow float64) (out []chain, twice []bool) {
	twice = make([]bool, len(g.links))
	partOf := make([]int32, len(g.links))
	parts := g.parts()
	for i, part := range parts {
		for _, n := range part {
			for _, e := range g.nodes[n].ends {
				partOf[e.link()] = int32(i)
			}
		}
	}
	count := make([]int, len(parts))
	for _, c := range chains {
		count[partOf[c.link]]++
	}
	for _, c := range chains {
		i := partOf[c.link]
		switch {
		case count[i] == 1:
			out = append(out, c)
		case count[i] > 1: // its first chain: a stroke, unless all are corners
			w := walk{route: newRoute(g, parts[i], twice), mate: map[pass]pass{}, leave: map[end]departure{}, group: map[int]int{}}
			count[i] = 0
			out = append(out, w.chain(c.kind, narrow))
		}
	}
	return out, twice
}

// chain joins the links of the part and follows them.
func (w *walk) chain(kind Kind, narrow float64) chain {
	joints := make([][]joined, len(w.nodes))
	for i, n := range w.nodes {
		joints[i] = w.pair(n)
	}
	for i := range w.nodes {
		w.unite(joints[i])
	}
	out := chain{kind: kind, link: w.links[0], closed: w.first < 0}
	at := passOf(end(2*w.links[0]), false)
	if !out.closed {
		for _, e := range w.graph.nodes[w.first].ends {
			for _, second := range [2]bool{false, true} {
				if p := passOf(e, second); (!second || w.twice[e.link()]) && w.mate[p] == none {
					at = p
				}
			}
		}
		out.tips = [2]bool{w.graph.free(w.first), w.graph.free(w.last)}
	}
	begin := at
	for {
		out.points = appendLeg(out.points, w.leg(at.end(), narrow))
		next := w.mate[at.other()]
		if next == none || next == begin {
			break
		}
		at = next
	}
	if p := out.points; kind == Corner && p[0].R < p[len(p)-1].R {
		slices.Reverse(out.points)
		out.tips[0], out.tips[1] = out.tips[1], out.tips[0]
	}
	return out
}

// leg is the points of a link from one end. A tip where the walk turns back is
// cut off where it is narrower than the lightest mark.
func (w *walk) leg(e end, narrow float64) []axis.Point {
	l := &w.graph.links[e.link()]
	points := slices.Clone(l.points)
	if e.far() {
		slices.Reverse(points)
	}
	if narrow == 0 || !w.twice[e.link()] {
		return points
	}
	if w.graph.free(w.graph.node(e.other())) {
		return trim(points, narrow)
	}
	if w.graph.free(w.graph.node(e)) {
		slices.Reverse(points)
		points = trim(points, narrow)
		slices.Reverse(points)
	}
	return points
}

// appendLeg appends the points of a leg that differ from the one before.
func appendLeg(path, leg []axis.Point) []axis.Point {
	for _, p := range leg {
		if n := len(path); n == 0 || path[n-1] != p {
			path = append(path, p)
		}
	}
	return path
}

// joined is two ways over links that follow each other at a node, with the
// turn between them; b is none at an end of the walk.
type joined struct {
	a, b pass
	cost float64
}

// pair joins the ways over links at a node, first those that continue straight
// with little change of width.
func (w *walk) pair(n int32) []joined {
	var passes []pass
	for _, e := range w.graph.nodes[n].ends {
		w.leave[e] = w.graph.departure(e)
		passes = append(passes, passOf(e, false))
		if w.twice[e.link()] {
			passes = append(passes, passOf(e, true))
		}
	}
	var all []joined
	for i, b := range passes {
		for _, a := range passes[:i] {
			all = append(all, w.joining(a, b))
		}
	}
	slices.SortStableFunc(all, func(p, q joined) int {
		return cmp.Or(cmp.Compare(p.cost, q.cost), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	var out []joined
	for _, j := range all {
		_, a := w.mate[j.a]
		_, b := w.mate[j.b]
		if !a && !b {
			w.join(j)
			out = append(out, j)
		}
	}
	for _, p := range passes {
		if _, is := w.mate[p]; !is {
			w.mate[p] = none
			out = append(out, joined{p, none, 0})
		}
	}
	return out
}

func (w *walk) join(j joined) {
	w.mate[j.a] = j.b
	if j.b != none {
		w.mate[j.b] = j.a
		a, b := w.root(j.a), w.root(j.b)
		w.group[max(a, b)] = min(a, b)
	}
}

// root represents all ways over links that are joined with one.
func (w *walk) root(p pass) int {
	at := p.once()
	for {
		up, has := w.group[at]
		if !has || up == at {
			return at
		}
		if upper, has := w.group[up]; has {
			w.group[at] = upper // halves the path
		}
		at = up
	}
}

// unite makes one walk of all that pass through a node: where two walks meet,
// the second becomes a detour of the first at the least turn.
func (w *walk) unite(joints []joined) {
	for i := 1; i < len(joints); i++ {
		q := joints[i]
		if w.root(q.a) == w.root(joints[0].a) {
			continue
		}
		best, at := [2]joined{}, -1
		least := math.Inf(1)
		for k, p := range joints[:i] {
			for _, c := range [2][2]joined{{w.joining(p.a, q.a), w.joining(p.b, q.b)}, {w.joining(p.a, q.b), w.joining(p.b, q.a)}} {
				if cost := c[0].cost + c[1].cost - p.cost - q.cost; cost < least {
					best, at, least = c, k, cost
				}
			}
		}
		w.join(best[0])
		w.join(best[1])
		joints[at], joints[i] = best[0], best[1]
	}
}

// joining is two ways over links that could follow each other at a node.
func (w *walk) joining(a, b pass) joined {
	if a == none {
		a, b = b, a
	}
	if b == none {
		return joined{a, b, 0}
	}
	return joined{a, b, w.leave[a.end()].cost(w.leave[b.end()])}
}
