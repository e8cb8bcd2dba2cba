package stroke

import (
	"container/heap"
	"math"
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/vector"
)

// gaps finds the stretches of the ridges of a wide place that its lanes leave
// bare: the middle, if there is no room for the next lane inwards, and the part
// of a corner that is too sharp for it. Between lane k and the next one, the
// bare part has the same axis as the region, with the radius less the depth
// that the lanes up to k cover. The strokes are as wide as that plus the
// overlap.
type gaps struct {
	filling filling
	graph   graph
	next    []bool // by node: the next lane begins here
}

// gaps returns the strokes that paint what the lanes leave bare.
func (f filling) gaps(wide *graph) []chain {
	g := &gaps{filling: f}
	for _, n := range wide.nodes {
		g.graph.addNode(n.at, false)
	}
	for _, l := range wide.links {
		g.cut(l)
	}
	g.next = append(g.next, make([]bool, len(g.graph.nodes)-len(g.next))...)
	var out []chain
	far := g.distances()
	gone := make([]bool, len(g.graph.links))
	for _, part := range g.graph.parts() {
		if i := part[0]; len(g.graph.nodes[i].ends) > 0 {
			if g.reached(part, far) {
				for _, i := range part {
					for _, e := range g.graph.nodes[i].ends {
						gone[e.link()] = true
					}
				}
			}
		} else if len(wide.links) == 0 && int(i) < len(wide.nodes) {
			// The middle of a round place.
			if r := float64(wide.nodes[i].at.R); f.bare(r) {
				out = append(out, chain{kind: Lane, points: []axis.Point{f.narrowed(wide.nodes[i].at, f.lane(r))}})
			}
		}
	}
	g.graph.remove(gone)
	return append(out, g.graph.chains()...)
}

// lane is the number of the last lane, from 0, whose depth is at most r.
func (f filling) lane(r float64) float64 { return math.Floor((r - f.first) / f.pitch) }

// depth of a lane.
func (f filling) depth(lane float64) float64 { return f.first + mul(lane, f.pitch) }

// bare reports whether the marks of the lanes up to a point at depth r on a
// ridge do not reach it.
func (f filling) bare(r float64) bool {
	k := f.lane(r)
	return k >= 0 && r > f.depth(k)+f.radius
}

// narrowed is a point of a ridge with the radius to be painted there, inside
// the given lane.
func (f filling) narrowed(p axis.Point, lane float64) axis.Point {
	rest := float64(p.R) - f.depth(lane) - f.radius
	p.R = int32(min(max(rest, 0)+f.overlap, f.radius))
	return p
}

// cut adds the bare stretches of a link to the graph.
func (g *gaps) cut(l link) {
	var points []axis.Point // of the bare stretch being collected; nil outside one
	var from int32
	stop := func(at axis.Point, next bool) int32 {
		g.next = append(g.next, make([]bool, len(g.graph.nodes)-len(g.next))...)
		g.next = append(g.next, next)
		return g.graph.addNode(at, true)
	}
	last := l.points[0]
	for i := 1; i < len(l.points); i++ {
		a, b := l.points[i-1], l.points[i]
		ra, rb := float64(a.R), float64(b.R)
		before := 0.0
		for _, t := range append(g.filling.stops(ra, rb), 1) {
			to := b
			if t < 1 {
				to = between(a, b, t)
			}
			r := vector.Lerp(ra, rb, (before+t)/2)
			k := g.filling.lane(r)
			switch {
			case g.filling.bare(r):
				if points == nil {
					points = []axis.Point{g.filling.narrowed(last, k)}
					if from = l.nodes[0]; i > 1 || before > 0 {
						from = stop(last, rb < ra)
					}
				}
				points = append(points, g.filling.narrowed(to, k))
			case points != nil:
				g.graph.addLink(points, from, stop(last, rb > ra))
				points = nil
			}
			last, before = to, t
		}
	}
	if points != nil {
		g.graph.addLink(points, from, l.nodes[1])
	}
}

// stops lists in order the shares of the way from radius a to radius b at which
// a bare stretch may begin or end.
func (f filling) stops(a, b float64) []float64 {
	lo, hi := min(a, b), max(a, b)
	var out []float64
	for k := max(f.lane(lo), 0); f.depth(k) < hi; k++ {
		for _, r := range [2]float64{f.depth(k), f.depth(k) + f.radius} {
			if r > lo && r < hi {
				out = append(out, (r-a)/(b-a))
			}
		}
	}
	slices.Sort(out)
	return out
}

// distances lists for each node how far it is, along the graph, from the
// nearest place where the next lane begins (E. W. Dijkstra, "A note on two problems
// in connexion with graphs", Numerische Mathematik 1, 1959, 269-271).
func (g *gaps) distances() []float64 {
	far := make([]float64, len(g.graph.nodes))
	var open nearestFirst
	for i := range far {
		if far[i] = math.Inf(1); g.next[i] {
			far[i] = 0
			open = append(open, reach{int32(i), 0}) // all are equal: this is a heap
		}
	}
	for len(open) > 0 {
		from := heap.Pop(&open).(reach)
		if from.distance > far[from.node] {
			continue // it was reached from nearer
		}
		for _, e := range g.graph.nodes[from.node].ends {
			to := g.graph.node(e.other())
			if d := from.distance + g.graph.links[e.link()].length; d < far[to] {
				far[to] = d
				heap.Push(&open, reach{to, d})
			}
		}
	}
	return far
}

// reach is a node and its distance from where a search began.
type reach struct {
	node     int32
	distance float64
}

// nearestFirst is a heap of the nodes that a search is about to visit.
type nearestFirst []reach

func (h nearestFirst) Len() int           { return len(h) }
func (h nearestFirst) Less(i, j int) bool { return h[i].distance < h[j].distance }
func (h nearestFirst) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *nearestFirst) Push(x any)        { *h = append(*h, x.(reach)) }
func (h *nearestFirst) Pop() any {
	n := len(*h) - 1
	last := (*h)[n]
	*h = (*h)[:n]
	return last
}

// reached reports whether every point of a part is so near to a place where the
// next lane begins that the marks of that lane cover it. far are the distances
// of the nodes.
func (g *gaps) reached(part []int32, far []float64) bool {
	for _, i := range part {
		for _, e := range g.graph.nodes[i].ends {
			// The farthest point of a link lies between its ends. The factor is a
			// margin of 2 %.
			if (far[i]+far[g.graph.node(e.other())]+g.graph.links[e.link()].length)/2 > mul(0.98, g.filling.radius) {
				return false
			}
		}
	}
	return true
}
