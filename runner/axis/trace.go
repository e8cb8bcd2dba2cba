package axis

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// A tracer turns the stretches that a pruner kept into a graph: the ends of stretches of
// no length become one node, and runs of stretches become edges.
type tracer struct {
	group      []int32 // for each cell the group of cells at the same place
	first      []int32 // for each group where its sides start in sides
	sides      []int32 // sides that leave a group, counter-clockwise
	point      []Point // for each group its place
	edge       []int32 // for each entry of sides the edge that starts or ends there
	where      []int32 // for each side of a cell its place in sides
	stack      []int32
	pts        []Point
	node       []int32 // for each group its node, or -1
	runs       []run
	simplifier vector.Simplifier
}

func (tr *tracer) trace(d *diagram, keep []uint8, origin plane.Point) *Graph {
	n := len(d.cells)
	tr.group = grow(tr.group, n)
	for i := range tr.group {
		tr.group[i] = -1
	}
	tr.where = grow(tr.where, 4*n)
	tr.first, tr.sides, tr.point = tr.first[:0], tr.sides[:0], tr.point[:0]
	best := -1
	for t := range d.cells {
		if best < 0 || larger(&d.discs[t], &d.discs[best]) {
			best = t
		}
		if keep[t] != 0 && tr.group[t] < 0 {
			tr.gather(d, keep, int32(t), origin)
		}
	}
	if len(tr.point) == 0 { // one disc is enough
		tr.point = append(tr.point, onGrid(&d.discs[best], origin))
		tr.first = append(tr.first, 0)
	}
	tr.first = append(tr.first, int32(len(tr.sides)))
	tr.edge = grow(tr.edge, len(tr.sides))
	for i := range tr.edge {
		tr.edge[i] = -1
	}
	return tr.assemble(d, origin)
}

// onGrid rounds a disc to the grid of the sheet, as a Point.
func onGrid(q *disc, origin plane.Point) Point {
	return Point{origin.X + roundHalfUp(q.x), origin.Y + roundHalfUp(q.y), roundHalfUp(q.r)}
}

// roundHalfUp rounds to a whole number, halves upwards. Numbers within 2^-20 below a half
// are rounded up as well: symmetric outlines have nodes of the axis on halves, which
// must not depend on which three of several sites they are computed from.
func roundHalfUp(v float64) int32 { return int32(math.Floor(v + (0.5 + 1.0/(1<<20)))) }

// gather collects the cells that are joined to t by kept sides of no length, and the
// sides that leave them, in order around the place.
func (tr *tracer) gather(d *diagram, keep []uint8, t int32, origin plane.Point) {
	id := int32(len(tr.point))
	at := onGrid(&d.discs[t], origin)
	tr.point = append(tr.point, at)
	tr.first = append(tr.first, int32(len(tr.sides)))
	tr.group[t] = id
	tr.stack = append(tr.stack[:0], t<<2|2, t<<2|1, t<<2)
	for len(tr.stack) > 0 {
		h := tr.stack[len(tr.stack)-1]
		tr.stack = tr.stack[:len(tr.stack)-1]
		if keep[h>>2]>>(h&3)&1 == 0 {
			continue
		}
		link := d.cells[h>>2].link[h&3]
		n, j := link>>2, link&3
		if onGrid(&d.discs[n], origin) == at {
			if tr.group[n] < 0 {
				tr.group[n] = id
				tr.stack = append(tr.stack, n<<2|before3[j], n<<2|after3[j])
			}
			continue
		}
		tr.where[h] = int32(len(tr.sides))
		tr.sides = append(tr.sides, h)
	}
}

// end is an end of a run: the group, and the entry of sides by which the run leaves it.
type end struct{ group, side int32 }

// run is a future edge, with its points in the tracer's memory.
type run struct {
	from, to    end
	first, last int32
	points      []Point
	slopes      [2]float64
}

// assemble follows the sides from group to group until one is reached where
// the axis ends or branches, and puts nodes and edges in order.
func (tr *tracer) assemble(d *diagram, origin plane.Point) *Graph {
	groups := int32(len(tr.point))
	tr.runs, tr.pts = tr.runs[:0], tr.pts[:0]
	tr.node = grow(tr.node, int(groups))
	for i := range groups {
		tr.node[i] = -1
		if tr.degree(i) == 2 {
			continue
		}
		tr.node[i] = 0
		for s := tr.first[i]; s < tr.first[i+1]; s++ {
			if tr.edge[s] < 0 {
				tr.follow(d, s, i, origin)
			}
		}
	}
	// What remains are closed rings without a branch: each gets a node at its
	// leftmost point or, of several, the lowest.
	for i := range groups {
		if tr.degree(i) != 2 || tr.edge[tr.first[i]] >= 0 {
			continue
		}
		start := i
		for at, j := tr.first[i], int32(-1); j != i; {
			j, at = tr.hop(d, at)
			if comparePoints(tr.point[j], tr.point[start]) < 0 {
				start = j
			}
		}
		tr.node[start] = 0
		tr.follow(d, tr.first[start], start, origin)
	}
	return tr.sorted(d)
}

func (tr *tracer) degree(group int32) int32 { return tr.first[group+1] - tr.first[group] }

// hop crosses the stretch at an entry of sides. It returns the group beyond
// and, where that has two sides, the entry of the other one.
func (tr *tracer) hop(d *diagram, at int32) (group, other int32) {
	h := tr.sides[at]
	link := d.cells[h>>2].link[h&3]
	group = tr.group[link>>2]
	return group, 2*tr.first[group] + 1 - tr.where[link]
}

// follow makes a run of the stretches from entry s of sides, at a group that
// is a node, to the next node.
func (tr *tracer) follow(d *diagram, s, from int32, origin plane.Point) {
	id := int32(len(tr.runs))
	first := len(tr.pts)
	tr.pts = append(tr.pts, tr.point[from])
	at := s
	for {
		tr.edge[at] = id
		h := tr.sides[at]
		tr.addCurvePoints(d, h, origin)
		link := d.cells[h>>2].link[h&3]
		group, side := tr.group[link>>2], tr.where[link]
		tr.pts = append(tr.pts, tr.point[group])
		tr.edge[side] = id
		if tr.degree(group) != 2 || group == from {
			last := first + len(slices.Compact(tr.pts[first:]))
			tr.pts = tr.pts[:last]
			tr.runs = append(tr.runs, run{from: end{from, s}, to: end{group, side}, first: int32(first), last: int32(last)})
			return
		}
		_, at = tr.hop(d, at)
	}
}

// sorted makes the graph: nodes from left to right, edges by their nodes, each
// from the lower node to the higher.
func (tr *tracer) sorted(d *diagram) *Graph {
	for i := range tr.runs { // tr.pts no longer grows, so slices of it stay valid
		r := &tr.runs[i]
		r.points = tr.pts[r.first:r.last]
	}
	var order []int32
	for i, n := range tr.node {
		if n == 0 {
			order = append(order, int32(i))
		}
	}
	slices.SortFunc(order, func(a, b int32) int {
		if c := comparePoints(tr.point[a], tr.point[b]); c != 0 || a == b {
			return c
		}
		return slices.CompareFunc(tr.walks(a), tr.walks(b), compareWalks)
	})
	g := &Graph{Nodes: make([]Node, len(order)), Edges: make([]Edge, len(tr.runs))}
	for i, o := range order {
		tr.node[o] = int32(i)
		g.Nodes[i].Point = tr.point[o]
	}
	total := 0
	for i := range tr.runs {
		r := &tr.runs[i]
		f, t := tr.node[r.from.group], tr.node[r.to.group]
		if f > t || f == t && compareWalks(walk{r.points, true}, walk{r.points, false}) < 0 {
			r.from, r.to = r.to, r.from
			slices.Reverse(r.points)
		}
		r.points = tr.thin(r.points)
		r.slopes = [2]float64{d.slope(tr.sides[r.from.side]), -d.slope(tr.sides[r.to.side])}
		total += len(r.points)
	}
	slices.SortFunc(tr.runs, func(a, b run) int {
		if c := cmp.Or(cmp.Compare(tr.node[a.from.group], tr.node[b.from.group]), cmp.Compare(tr.node[a.to.group], tr.node[b.to.group])); c != 0 {
			return c // seldom are two between the same nodes
		}
		return cmp.Or(slices.CompareFunc(a.points, b.points, comparePoints), slices.Compare(a.slopes[:], b.slopes[:]))
	})
	points := make([]Point, 0, total)
	for i := range tr.runs {
		r := &tr.runs[i]
		start := len(points)
		points = append(points, r.points...)
		g.Edges[i] = Edge{From: tr.node[r.from.group], To: tr.node[r.to.group], Points: points[start:len(points):len(points)], Slopes: r.slopes}
		tr.edge[r.from.side], tr.edge[r.to.side] = int32(i), int32(i)
	}
	all := make([]int32, 0, 2*len(tr.runs))
	for i, o := range order {
		// The round starts with the edge of the lowest number.
		edges := tr.edge[tr.first[o]:tr.first[o+1]]
		low := 0
		for k, e := range edges {
			if e < edges[low] {
				low = k
			}
		}
		start := len(all)
		all = append(append(all, edges[low:]...), edges[:low]...)
		g.Nodes[i].Edges = all[start:len(all):len(all)]
	}
	return g
}

// walk is a run's points in one of its two directions.
type walk struct {
	points []Point
	back   bool
}

func (w walk) at(i int) Point {
	if w.back {
		i = len(w.points) - 1 - i
	}
	return w.points[i]
}

func compareWalks(a, b walk) int {
	for i := range min(len(a.points), len(b.points)) {
		if c := comparePoints(a.at(i), b.at(i)); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a.points), len(b.points))
}

// walks lists the runs that leave a group, in the order of their points. They
// distinguish nodes that lie at the same place of the grid.
func (tr *tracer) walks(group int32) []walk {
	var out []walk
	for s := tr.first[group]; s < tr.first[group+1]; s++ {
		r := &tr.runs[tr.edge[s]]
		out = append(out, walk{r.points, r.from.side != s})
	}
	slices.SortFunc(out, compareWalks)
	return out
}

func comparePoints(a, b Point) int {
	if a.X != b.X {
		return cmp.Compare(a.X, b.X)
	}
	return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.R, b.R))
}
