package stroke

import (
	"math"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

// graph is the axis of one region, or a part of it, such as what is left
// without the wide and the thin stretches. Lengths and radii are in grid steps.
type graph struct {
	nodes []node
	links []link
}

type node struct {
	at   axis.Point
	ends []end
	// cut: the axis continues beyond this node, but not in this graph.
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

func (g *graph) node(e end) int32 { return g.links[e.link()].nodes[e&1] }

func (g *graph) addNode(at axis.Point, cut bool) int32 {
	g.nodes = append(g.nodes, node{at: at, cut: cut})
	return int32(len(g.nodes) - 1)
}

func (g *graph) addLink(points []axis.Point, from, to int32) {
	i := end(len(g.links)) * 2
	g.links = append(g.links, link{points: points, nodes: [2]int32{from, to}, length: length(points)})
	g.nodes[from].ends = append(g.nodes[from].ends, i)
	g.nodes[to].ends = append(g.nodes[to].ends, i+1)
}

// from visits the points of a link, starting at the given end.
func (g *graph) from(e end, visit func(p axis.Point) (more bool)) {
	points := g.links[e.link()].points
	for i := range points {
		p := points[i]
		if e.far() {
			p = points[len(points)-1-i]
		}
		if !visit(p) {
			return
		}
	}
}

// departure is the direction in which a link leaves its node, as a unit
// vector, and its radius there. Both are taken one radius along: nearer to the
// node the axis still bends towards the other branches.
type departure struct{ x, y, r float64 }

func (g *graph) departure(e end) departure {
	at := g.nodes[g.node(e)].at
	reach := max(float64(at.R), 1)
	to, walked := at, 0.0
	g.from(e, func(p axis.Point) bool {
		walked += distance(to, p)
		to = p
		return walked < reach
	})
	d := distance(at, to)
	if d == 0 {
		return departure{r: float64(to.R)}
	}
	return departure{(float64(to.X) - float64(at.X)) / d, (float64(to.Y) - float64(at.Y)) / d, float64(to.R)}
}

// turn is 1 minus the cosine of the turn from one link into another.
func (a departure) turn(b departure) float64 { return 1 + mul(a.x, b.x) + mul(a.y, b.y) }

// cost of going on from one link into another: the turn, and the change of
// width.
func (a departure) cost(b departure) float64 {
	return a.turn(b) + mul(0.5, math.Abs(a.r-b.r)/(a.r+b.r+1))
}

// free reports whether the shape ends at a node.
func (g *graph) free(n int32) bool { return len(g.nodes[n].ends) == 1 && !g.nodes[n].cut }

// peaks lists the points that have no neighbour with a greater radius.
func (g *graph) peaks() []axis.Point {
	var out []axis.Point
	for _, l := range g.links {
		for i := 1; i < len(l.points)-1; i++ {
			if p := l.points[i]; p.R >= l.points[i-1].R && p.R >= l.points[i+1].R {
				out = append(out, p)
			}
		}
	}
	for _, n := range g.nodes {
		if len(n.ends) == 0 && len(g.links) > 0 {
			continue // its links are in another graph
		}
		top := true
		for _, e := range n.ends {
			points := g.links[e.link()].points
			next := points[1]
			if e.far() {
				next = points[len(points)-2]
			}
			top = top && next.R <= n.at.R
		}
		if top {
			out = append(out, n.at)
		}
	}
	return out
}

// parts lists the nodes of each connected part, in the order of the part's
// lowest node number.
func (g *graph) parts() [][]int32 {
	seen := make([]bool, len(g.nodes))
	var out [][]int32
	for i := range g.nodes {
		if seen[i] {
			continue
		}
		seen[i] = true
		part := []int32{int32(i)}
		for k := 0; k < len(part); k++ {
			for _, e := range g.nodes[part[k]].ends {
				if to := g.node(e.other()); !seen[to] {
					seen[to] = true
					part = append(part, to)
				}
			}
		}
		out = append(out, part)
	}
	return out
}

// remove takes links out of the graph.
func (g *graph) remove(gone []bool) {
	old := g.links
	g.links = nil
	for i := range g.nodes {
		g.nodes[i].ends = nil
	}
	for i, l := range old {
		if !gone[i] {
			g.addLink(l.points, l.nodes[0], l.nodes[1])
		}
	}
}

// mul is a product that no compiler fuses with an addition.
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

// between is the point at a share t of the way from a to b, on the grid.
func between(a, b axis.Point, t float64) axis.Point {
	return axis.Point{X: plane.Lerp(a.X, b.X, t), Y: plane.Lerp(a.Y, b.Y, t), R: plane.Lerp(a.R, b.R, t)}
}

// squareMM turns square grid steps into mm².
func squareMM(v float64) float64 { return v / (plane.PerMM * plane.PerMM) }
