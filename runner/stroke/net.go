package stroke

import (
	"math"
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// net is the axis of one region, or what is left of it after the wide and the
// thin stretches are cut out. Lengths and radii are in grid steps.
type net struct {
	nodes []node
	links []link
}

type node struct {
	at   axis.Point
	ends []end
	// cut says that the axis goes on beyond this node, but not in this net.
	cut bool
}

// link is a stretch of axis between two nodes.
type link struct {
	points []axis.Point
	nodes  [2]int32 // where it begins and where it ends
	length float64
}

// end is one end of a link: twice its index, plus 1 for the far end.
type end int32

func (e end) link() int32 { return int32(e >> 1) }
func (e end) far() bool   { return e&1 == 1 }
func (e end) other() end  { return e ^ 1 }

func (n *net) node(e end) int32 { return n.links[e.link()].nodes[e&1] }

func (n *net) addNode(at axis.Point, cut bool) int32 {
	n.nodes = append(n.nodes, node{at: at, cut: cut})
	return int32(len(n.nodes) - 1)
}

func (n *net) addLink(points []axis.Point, from, to int32) {
	i := end(len(n.links)) * 2
	n.links = append(n.links, link{points: points, nodes: [2]int32{from, to}, length: length(points)})
	n.nodes[from].ends = append(n.nodes[from].ends, i)
	n.nodes[to].ends = append(n.nodes[to].ends, i+1)
}

func mul(a, b float64) float64 { return float64(a * b) }

// distance in grid steps.
func distance(a, b axis.Point) float64 { return plane.Distance(a.Plane(), b.Plane()) }

// length of a path in grid steps.
func length(points []axis.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += distance(points[i-1], points[i])
	}
	return sum
}

// between is the point a share t of the way from a to b, on the grid.
func between(a, b axis.Point, t float64) axis.Point {
	return axis.Point{X: plane.Lerp(a.X, b.X, t), Y: plane.Lerp(a.Y, b.Y, t), R: plane.Lerp(a.R, b.R, t)}
}

// squareMM turns square grid steps into mm².
func squareMM(v float64) float64 { return v / (plane.PerMM * plane.PerMM) }

// level tells how a stretch of axis suits the brush.
type level int8

const (
	thin level = iota // narrower than the lightest mark
	fit
	wide // wider than the widest mark
)

// limits are the radii, in grid steps, between which the brush paints what is
// drawn.
type limits struct {
	narrow, broad float64
	// A stretch that leaves them by no more than this is painted with the
	// nearest mark: the edge moves by less than the tolerance.
	slackNarrow, slackBroad float64
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

// run is a stretch of a link of one level.
type run struct {
	level  level
	points []axis.Point
}

// runs cuts a path where its radius passes a limit.
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
		stops := [4]float64{0, 1, 1, 1}
		n := 1
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

// settle takes runs that hardly leave the limits for ones that fit, and joins
// neighbours of one level.
func (l limits) settle(runs []run) []run {
	for i := range runs {
		r := &runs[i]
		least, most := r.points[0].R, r.points[0].R
		for _, p := range r.points {
			least, most = min(least, p.R), max(most, p.R)
		}
		switch r.level {
		case thin:
			// A neck shorter than the lightest mark is wide is no place.
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

// join makes one run of neighbours of one level.
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

// cutting is a graph taken apart by level.
type cutting struct {
	fit  net       // with the thin stretches, where hairlines are painted
	wide net       // the ridges of the places that are filled
	thin []stretch // all thin stretches
}

// stretch is a part of an edge of a graph.
type stretch struct {
	points []axis.Point
	ends   [2]joint
	// slopes of the radius at the ends, NaN in the midst of an edge.
	slopes [2]float64
}

// cut takes a graph apart. The nodes of the graph stand in both nets under the
// same numbers.
func (l limits) cut(g *axis.Graph, hairlines bool) *cutting {
	c := &cutting{}
	for _, n := range g.Nodes {
		c.fit.addNode(n.Point, false)
		c.wide.addNode(n.Point, false)
	}
	type tie struct{ stretch, end, node int32 }
	var ties []tie // of thin stretches to nodes
	for _, e := range g.Edges {
		runs := l.runs(e.Points)
		for i := range runs {
			if runs[i].level == thin {
				slopes := [2]float64{math.NaN(), math.NaN()}
				if i == 0 {
					ties = append(ties, tie{int32(len(c.thin)), 0, e.From})
					slopes[0] = e.Slopes[0]
				}
				if i == len(runs)-1 {
					ties = append(ties, tie{int32(len(c.thin)), 1, e.To})
					slopes[1] = e.Slopes[1]
				}
				c.thin = append(c.thin, stretch{points: slices.Clone(runs[i].points), slopes: slopes})
				if hairlines {
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
	for i, n := range g.Nodes {
		c.fit.nodes[i].cut = len(c.fit.nodes[i].ends) < len(n.Edges)
		c.wide.nodes[i].cut = len(c.wide.nodes[i].ends) < len(n.Edges)
	}
	for _, t := range ties {
		switch {
		case len(g.Nodes[t.node].Edges) == 1:
			c.thin[t.stretch].ends[t.end] = tip
		case len(c.fit.nodes[t.node].ends) == 0:
			c.thin[t.stretch].ends[t.end] = meeting
		}
	}
	return c
}
