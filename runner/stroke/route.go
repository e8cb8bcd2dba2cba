package stroke

import (
	"cmp"
	"slices"
)

// route is a way through one connected part of a graph that goes over each
// link once or twice: the postman's problem for an open way (Kwan Mei-Ko,
// Graphic programming using odd or even points, Chinese Mathematics 1, 1962,
// 273-277; from memory). The links gone over twice make the number of ends
// even at every node but the first and the last. Which links they are is
// decided on a spanning tree and mended along its cycles: for a part without
// loops that is the shortest way.
type route struct {
	graph *graph
	nodes []int32
	links []int32
	twice []bool // by link
	// first and last are the nodes at the ends; -1 for a way that ends where it
	// began.
	first, last int32
	work        int // steps that mending may still take
}

// mostMending bounds the work on one part, in links looked at.
const mostMending = 1 << 23

// newRoute plans the way through a part. twice is shared by all parts.
func newRoute(g *graph, part []int32, twice []bool) *route {
	r := &route{graph: g, nodes: part, twice: twice, first: -1, last: -1, work: mostMending}
	for _, n := range part {
		for _, e := range g.nodes[n].ends {
			if !e.far() {
				r.links = append(r.links, e.link())
			}
		}
	}
	slices.Sort(r.links)
	tree := r.span()
	tree.even(r)
	tree.mend(r)
	tree = r.span()
	tree.open(r)
	tree.mend(r)
	return r
}

// spanningTree is a tree through all nodes of a part, rooted at the first.
type spanningTree struct {
	inside map[int32]bool // links
	order  []int32        // nodes, each after its parent
	up     map[int32]end  // by node: its end of the link to its parent
	depth  map[int32]int
}

// span grows a spanning tree of short links; those gone over twice come first.
func (r *route) span() *spanningTree {
	sorted := slices.Clone(r.links)
	slices.SortStableFunc(sorted, func(a, b int32) int {
		if r.twice[a] != r.twice[b] {
			if r.twice[a] {
				return -1
			}
			return 1
		}
		return cmp.Compare(r.graph.links[a].length, r.graph.links[b].length)
	})
	t := &spanningTree{inside: map[int32]bool{}, up: map[int32]end{}, depth: map[int32]int{}}
	number := map[int32]int{}
	group := make([]int, len(r.nodes))
	for i, n := range r.nodes {
		number[n], group[i] = i, i
	}
	for _, l := range sorted {
		nodes := r.graph.links[l].nodes
		a, b := root(group, number[nodes[0]]), root(group, number[nodes[1]])
		if a != b {
			group[max(a, b)] = min(a, b)
			t.inside[l] = true
		}
	}
	t.order = append(t.order, r.nodes[0])
	for i := 0; i < len(t.order); i++ {
		n := t.order[i]
		for _, e := range r.graph.nodes[n].ends {
			if back, has := t.up[n]; !t.inside[e.link()] || has && back == e {
				continue
			}
			to := r.graph.node(e.other())
			t.up[to], t.depth[to] = e.other(), t.depth[n]+1
			t.order = append(t.order, to)
		}
	}
	return t
}

// parent of a node that is not the root.
func (t *spanningTree) parent(g *graph, n int32) int32 { return g.node(t.up[n].other()) }

// even doubles those links of the tree that make the number of ends even at
// every node.
func (t *spanningTree) even(r *route) {
	odd := map[int32]bool{}
	for _, n := range r.nodes {
		odd[n] = len(r.graph.nodes[n].ends)%2 == 1
	}
	for i := len(t.order) - 1; i > 0; i-- {
		if n := t.order[i]; odd[n] {
			r.twice[t.up[n].link()] = true
			p := t.parent(r.graph, n)
			odd[p] = !odd[p]
		}
	}
}

// path lists the links of the tree between two nodes.
func (t *spanningTree) path(g *graph, a, b int32) []int32 {
	var out []int32
	for a != b {
		if t.depth[a] < t.depth[b] {
			a, b = b, a
		}
		out = append(out, t.up[a].link())
		a = t.parent(g, a)
	}
	return out
}

// gain is by how much the way becomes shorter if the links that are gone over
// twice are gone over once, and the others twice.
func (r *route) gain(links []int32) float64 {
	sum := 0.0
	for _, l := range links {
		if r.twice[l] {
			sum += r.graph.links[l].length
		} else {
			sum -= r.graph.links[l].length
		}
	}
	return sum
}

func (r *route) toggle(links []int32) {
	for _, l := range links {
		r.twice[l] = !r.twice[l]
	}
}

// mend goes over the other links of a cycle twice where that is shorter: the
// number of ends stays even or odd at each node.
func (t *spanningTree) mend(r *route) {
	for changed := true; changed; {
		changed = false
		for _, l := range r.links {
			if nodes := r.graph.links[l].nodes; !t.inside[l] && nodes[0] != nodes[1] {
				cycle := append(t.path(r.graph, nodes[0], nodes[1]), l)
				if r.work -= len(cycle); r.work < 0 {
					return
				}
				if r.gain(cycle) > 0 {
					r.toggle(cycle)
					changed = true
				}
			}
		}
	}
}

// descent is the best way from a node down to a node below it.
type descent struct {
	value float64
	to    int32
}

// open chooses the first and the last node, between which links need not be
// gone over twice. They are those that make the way shortest; a free end
// counts as if the way to it were two marks shorter, because the brush should
// come down and lift where a stroke ends.
func (t *spanningTree) open(r *route) {
	widest := int32(0)
	for _, n := range r.nodes {
		widest = max(widest, r.graph.nodes[n].at.R)
	}
	down := map[int32]descent{}
	best, from, to := 0.0, int32(-1), int32(-1)
	for i := len(t.order) - 1; i >= 0; i-- {
		n := t.order[i]
		own, known := down[n]
		here := descent{to: n}
		if len(r.graph.nodes[n].ends) == 1 {
			here.value = 4 * float64(widest)
		}
		// The children have left the best way below; the node itself is another.
		if !known || here.value > own.value {
			down[n] = here
		}
		if known && own.value+here.value > best {
			best, from, to = own.value+here.value, own.to, n
		}
		if i == 0 {
			break
		}
		link := t.up[n].link()
		way := down[n]
		way.value += r.gain([]int32{link})
		p := t.parent(r.graph, n)
		if other, known := down[p]; known {
			if other.value+way.value > best {
				best, from, to = other.value+way.value, other.to, way.to
			}
			if other.value >= way.value {
				continue
			}
		}
		down[p] = way
	}
	if from < 0 {
		return
	}
	r.first, r.last = from, to
	if a, b := &r.graph.nodes[from], &r.graph.nodes[to]; len(a.ends) > 1 && len(b.ends) == 1 {
		r.first, r.last = to, from
	}
	r.toggle(t.path(r.graph, from, to))
}
