package axis

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/plane"
)

// A tracer turns what a pruner left into a graph: stretches of no length are
// drawn together, and runs of stretches become edges.
type tracer struct {
	group []int32 // for each cell the group of cells at the same place
	first []int32 // for each group where its sides start in sides
	sides []int32 // sides that leave a group, counter-clockwise
	point []Point // for each group its place
	edge  []int32 // for each entry of sides the edge that starts or ends there
	where []int32 // for each side of a cell its place in sides
	stack []int32
	pts   []Point
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
		return &Graph{Nodes: []Node{{Point: place(&d.discs[best], origin)}}}
	}
	tr.first = append(tr.first, int32(len(tr.sides)))
	tr.edge = grow(tr.edge, len(tr.sides))
	for i := range tr.edge {
		tr.edge[i] = -1
	}
	return tr.assemble(d, origin, &Graph{})
}

// place rounds a disc to the grid of the sheet.
func place(q *disc, origin plane.Point) Point {
	return Point{origin.X + nearest(q.x), origin.Y + nearest(q.y), nearest(q.r)}
}

// nearest rounds to a whole number, halves upwards. What lies a hair below a
// half goes up as well: symmetric outlines have corners of the axis on halves,
// which must not depend on the last bits of three sites out of more.
func nearest(v float64) int32 { return int32(math.Floor(v + (0.5 + 1.0/(1<<20)))) }

// gather collects the cells that kept sides of no length join to t, and the
// sides that leave them, in order round the place.
func (tr *tracer) gather(d *diagram, keep []uint8, t int32, origin plane.Point) {
	id := int32(len(tr.point))
	at := place(&d.discs[t], origin)
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
		if place(&d.discs[n], origin) == at {
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

// assemble follows the sides from group to group until one is reached where
// the axis ends or branches.
func (tr *tracer) assemble(d *diagram, origin plane.Point, g *Graph) *Graph {
	degree := func(i int32) int32 { return tr.first[i+1] - tr.first[i] }
	groups := int32(len(tr.point))
	if len(tr.sides) == 0 {
		g.Nodes = []Node{{Point: tr.point[0]}}
		return g
	}
	type end struct{ group, side int32 } // side is an index of sides
	type run struct {
		from, to end
		points   []Point
	}
	var runs []run
	follow := func(s int32, from int32) {
		tr.pts = append(tr.pts[:0], tr.point[from])
		at := s
		var to end
		for {
			tr.edge[at] = 0
			h := tr.sides[at]
			tr.curved(d, h, origin)
			link := d.cells[h>>2].link[h&3]
			to = end{tr.group[link>>2], tr.where[link]}
			tr.pts = append(tr.pts, tr.point[to.group])
			tr.edge[to.side] = 0
			if degree(to.group) != 2 || to.group == from {
				break
			}
			at = tr.first[to.group] + (tr.first[to.group] + 1 - to.side)
		}
		runs = append(runs, run{end{from, s}, to, slices.Clone(slices.Compact(tr.pts))})
	}
	node := make([]int32, groups)
	for i := range node {
		node[i] = -1
	}
	for i := range groups {
		if degree(i) == 2 || degree(i) == 0 {
			continue
		}
		node[i] = 0
		for s := tr.first[i]; s < tr.first[i+1]; s++ {
			if tr.edge[s] < 0 {
				follow(s, i)
			}
		}
	}
	// What is left are closed rings without a branch: each gets a node at its
	// point that is furthest left, and lowest there.
	for i := range groups {
		if degree(i) != 2 || tr.edge[tr.first[i]] >= 0 {
			continue
		}
		start, at := i, tr.first[i]
		for {
			link := d.cells[tr.sides[at]>>2].link[tr.sides[at]&3]
			j := tr.group[link>>2]
			if comparePoints(tr.point[j], tr.point[start]) < 0 {
				start = j
			}
			if j == i {
				break
			}
			at = tr.first[j] + (tr.first[j] + 1 - tr.where[link])
		}
		node[start] = 0
		follow(tr.first[start], start)
	}
	// Nodes from left to right; edges by their nodes.
	order := make([]int32, 0, 2*len(runs))
	for i := range groups {
		if node[i] == 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return comparePoints(tr.point[a], tr.point[b]) })
	g.Nodes = make([]Node, len(order))
	for i, o := range order {
		node[o] = int32(i)
		g.Nodes[i].Point = tr.point[o]
	}
	for i := range runs {
		r := &runs[i]
		f, t := node[r.from.group], node[r.to.group]
		if f > t || f == t && backwards(r.points) {
			r.from, r.to = r.to, r.from
			slices.Reverse(r.points)
		}
	}
	slices.SortStableFunc(runs, func(a, b run) int {
		return cmp.Or(cmp.Compare(node[a.from.group], node[b.from.group]), cmp.Compare(node[a.to.group], node[b.to.group]),
			slices.CompareFunc(a.points, b.points, comparePoints))
	})
	g.Edges = make([]Edge, len(runs))
	for i := range runs {
		r := &runs[i]
		g.Edges[i] = Edge{From: node[r.from.group], To: node[r.to.group], Points: r.points}
		tr.edge[r.from.side], tr.edge[r.to.side] = int32(i), int32(i)
	}
	all := make([]int32, 0, 2*len(runs))
	for i, o := range order {
		start := len(all)
		all = append(all, tr.edge[tr.first[o]:tr.first[o+1]]...)
		edges := all[start:len(all):len(all)]
		// The round starts with the edge of the lowest number.
		if len(edges) > 0 {
			low := 0
			for k, e := range edges {
				if e < edges[low] {
					low = k
				}
			}
			turned := append(slices.Clone(edges[low:]), edges[:low]...)
			copy(edges, turned)
		}
		g.Nodes[i].Edges = edges
	}
	return g
}

// backwards tells whether a run that ends where it starts is the later of its
// two directions.
func backwards(points []Point) bool {
	for i, j := 0, len(points)-1; i < j; i, j = i+1, j-1 {
		if c := comparePoints(points[i], points[j]); c != 0 {
			return c > 0
		}
	}
	return false
}

func comparePoints(a, b Point) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.R, b.R))
}
