package stroke

import (
	"math"
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/vector"
)

// level is how the width of a stretch of axis compares with the marks of the
// brush.
type level int8

const (
	thin level = iota // narrower than the lightest mark
	fit
	wide // wider than the widest mark
)

// limits are the radii, in grid steps, of the narrowest and the widest mark.
type limits struct {
	narrow, broad float64
	// A stretch beyond the limits by no more than this is painted with the
	// nearest mark: the edge moves by less than the tolerance.
	slackNarrow, slackBroad float64
	// A place that is wide, but whose radius is at most this, is held back: one
	// gesture paints it, narrower than drawn.
	held float64
}

func (l limits) level(r float64) level {
	switch {
	case r < l.narrow:
		return thin
	case r > l.broad:
		return wide
	default:
		return fit
	}
}

// run is a part of a path that has one level.
type run struct {
	level  level
	points []axis.Point
}

// runs cuts a path where its radius crosses a limit.
func (l limits) runs(points []axis.Point) []run {
	var out []run
	add := func(at level, a, b axis.Point) {
		if n := len(out); n > 0 && out[n-1].level == at {
			out[n-1].points = append(out[n-1].points, b)
			return
		}
		out = append(out, run{at, []axis.Point{a, b}})
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		ra, rb := float64(a.R), float64(b.R)
		stops, n := l.crossed(ra, rb)
		last := a
		for k := 1; k <= n; k++ {
			next := b
			if k < n {
				next = between(a, b, stops[k])
			}
			if next == last && len(points) > 2 {
				continue
			}
			middle := (stops[k-1] + stops[k]) / 2
			add(l.level(vector.Lerp(ra, rb, middle)), last, next)
			last = next
		}
	}
	return l.settle(out)
}

// crossed returns the shares of the way from radius ra to radius rb at which a
// limit is crossed, between a first 0 and a last 1; stops[n] is that 1.
func (l limits) crossed(ra, rb float64) (stops [4]float64, n int) {
	stops, n = [4]float64{0, 1, 1, 1}, 1
	first, second := l.narrow, l.broad
	if ra > rb {
		first, second = second, first
	}
	for _, limit := range [2]float64{first, second} {
		if (ra < limit) != (rb < limit) && ra != limit && rb != limit {
			stops[n] = (limit - ra) / (rb - ra)
			n++
		}
	}
	return stops, n
}

// settle changes the level of runs that hardly leave the limits to fit, and
// joins neighbours of the same level.
func (l limits) settle(runs []run) []run {
	for i := range runs {
		r := &runs[i]
		least, most := r.points[0].R, r.points[0].R
		for _, p := range r.points {
			least, most = min(least, p.R), max(most, p.R)
		}
		switch r.level {
		case thin:
			// A neck that is shorter than the width of the lightest mark does
			// not count.
			neck := i > 0 && i < len(runs)-1 && length(r.points) < 2*l.narrow
			if neck || float64(least) >= l.narrow-l.slackNarrow {
				r.level = fit
			}
		case wide:
			if float64(most) <= l.broad+l.slackBroad {
				r.level = fit
			}
		}
	}
	return join(runs)
}

// join makes one run of neighbours that have the same level.
func join(runs []run) []run {
	out := runs[:0]
	for _, r := range runs {
		if n := len(out); n > 0 && out[n-1].level == r.level {
			out[n-1].points = append(out[n-1].points, r.points[1:]...)
			continue
		}
		out = append(out, r)
	}
	return out
}

// stretch is a part of an edge of an axis.
type stretch struct {
	points []axis.Point
	ends   [2]joint
	// slopes of the radius at the ends; NaN for an end that is not at a node.
	slopes [2]float64
}

// joint is what is at the end of a stretch of axis.
type joint int8

const (
	painted joint = iota // the axis continues and is painted
	meeting              // other stretches of its kind begin there
	tip                  // the axis ends
)

// cutter divides the axis of a region by level. The nodes of the axis have the
// same numbers in both graphs.
type cutter struct {
	limits    limits
	hairlines bool
	fit       graph       // with the held-back stretches, and the thin ones if hairlines are painted
	wide      graph       // the ridges of the places that are filled
	thin      []stretch   // all thin stretches
	held      []heldPlace // in the order of their first edges
	ties      []tie
}

// heldPlace is a connected part of an axis that is held back. at is its widest
// point, length is in grid steps, area in mm².
type heldPlace struct {
	at           axis.Point
	length, area float64
}

// tie is an end of a thin stretch that lies at a node of the axis.
type tie struct{ stretch, end, node int32 }

// cut divides an axis by level.
func (l limits) cut(g *axis.Graph, hairlines bool) *cutter {
	c := &cutter{limits: l, hairlines: hairlines}
	for _, n := range g.Nodes {
		c.fit.addNode(n.Point, false)
		c.wide.addNode(n.Point, false)
	}
	runs := make([][]run, len(g.Edges))
	for i, e := range g.Edges {
		runs[i] = l.runs(e.Points)
	}
	if l.held > l.broad {
		c.holdBack(g, runs)
	}
	for i, e := range g.Edges {
		c.edge(e, runs[i])
	}
	for i, n := range g.Nodes {
		c.fit.nodes[i].cut = len(c.fit.nodes[i].ends) < len(n.Edges)
		c.wide.nodes[i].cut = len(c.wide.nodes[i].ends) < len(n.Edges)
	}
	for _, t := range c.ties {
		switch {
		case len(g.Nodes[t.node].Edges) == 1:
			c.thin[t.stretch].ends[t.end] = tip
		case len(c.fit.nodes[t.node].ends) == 0:
			c.thin[t.stretch].ends[t.end] = meeting
		}
	}
	return c
}

// holdBack changes the level of the wide runs in places that are held back to
// fit. All wide runs that meet at nodes of the axis are one place.
func (c *cutter) holdBack(g *axis.Graph, runs [][]run) {
	// group is a union-find forest: the nodes come first, then the wide runs.
	type wideRun struct{ edge, run int }
	var wides []wideRun
	group := make([]int, len(g.Nodes))
	for i := range group {
		group[i] = i
	}
	unite := func(i, j int) {
		from, to := root(group, i), root(group, j)
		group[max(from, to)] = min(from, to)
	}
	for i, e := range g.Edges {
		for k, r := range runs[i] {
			if r.level != wide {
				continue
			}
			id := len(group)
			wides, group = append(wides, wideRun{i, k}), append(group, id)
			if k == 0 {
				unite(id, int(e.From))
			}
			if k == len(runs[i])-1 {
				unite(id, int(e.To))
			}
		}
	}
	most := map[int]int32{}
	for n, w := range wides {
		at := root(group, len(g.Nodes)+n)
		for _, p := range runs[w.edge][w.run].points {
			most[at] = max(most[at], p.R)
		}
	}
	number := map[int]int{}
	for n, w := range wides {
		at := root(group, len(g.Nodes)+n)
		if float64(most[at]) > c.limits.held+c.limits.slackBroad {
			continue
		}
		k, known := number[at]
		if !known {
			k = len(c.held)
			number[at] = k
			c.held = append(c.held, heldPlace{})
		}
		r := &runs[w.edge][w.run]
		c.held[k].add(r.points, c.limits.bareBeside(g, w.edge, *r, w.run == 0, w.run == len(runs[w.edge])-1))
		r.level = fit
	}
}

// bareBeside is the area that the widest mark leaves bare on both sides of a
// run, in square grid steps.
func (l limits) bareBeside(g *axis.Graph, edge int, r run, first, last bool) float64 {
	e := g.Edges[edge]
	s := stretch{points: r.points, ends: [2]joint{meeting, meeting}, slopes: [2]float64{math.NaN(), math.NaN()}}
	if first {
		s.slopes[0] = e.Slopes[0]
		if len(g.Nodes[e.From].Edges) == 1 {
			s.ends[0] = tip
		}
	}
	if last {
		s.slopes[1] = e.Slopes[1]
		if len(g.Nodes[e.To].Edges) == 1 {
			s.ends[1] = tip
		}
	}
	return s.bare(l.broad)
}

func (h *heldPlace) add(points []axis.Point, area float64) {
	h.length += length(points)
	h.area += squareMM(max(area, 0))
	for _, p := range points {
		if p.R > h.at.R {
			h.at = p
		}
	}
}

// edge adds each run of one edge to the graph or list of its level.
func (c *cutter) edge(e axis.Edge, runs []run) {
	for i := range runs {
		if runs[i].level == thin {
			c.addThin(e, runs[i], i == 0, i == len(runs)-1)
			if c.hairlines {
				runs[i].level = fit
			}
		}
	}
	runs = join(runs)
	for i, r := range runs {
		if r.level == thin {
			continue
		}
		to := &c.fit
		if r.level == wide {
			to = &c.wide
		}
		from, until := e.From, e.To
		if i > 0 {
			from = to.addNode(r.points[0], true)
		}
		if i < len(runs)-1 {
			until = to.addNode(r.points[len(r.points)-1], true)
		}
		to.addLink(r.points, from, until)
	}
}

// addThin adds a thin run, which may be the first or the last of its edge.
func (c *cutter) addThin(e axis.Edge, r run, first, last bool) {
	slopes := [2]float64{math.NaN(), math.NaN()}
	if first {
		c.ties = append(c.ties, tie{int32(len(c.thin)), 0, e.From})
		slopes[0] = e.Slopes[0]
	}
	if last {
		c.ties = append(c.ties, tie{int32(len(c.thin)), 1, e.To})
		slopes[1] = e.Slopes[1]
	}
	c.thin = append(c.thin, stretch{points: slices.Clone(r.points), slopes: slopes})
}
