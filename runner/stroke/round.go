package stroke

import (
	"math"

	"mahlstick/runner/axis"
)

// rounding takes small branches into corners out of a graph.
type rounding struct {
	graph *graph
	below float64   // grid steps: a branch that reaches this far stays
	gone  []bool    // by link
	left  []int     // by node: how many ends are left there
	far   []float64 // by node: how far the shape reaches from it, without the links left
	outer []int32   // by node: the link that was taken out from it inwards, or -1
}

// leftRound is a corner that is left round. at has the radius of the stroke
// there; the length is in grid steps, the area that stays bare in mm².
type leftRound struct {
	at           axis.Point
	length, area float64
}

// round takes out the branches that reach less than below (grid steps) beyond
// the mark from which they branch off, and lists what stays bare. Where all
// branches of a part go, a dab is left.
func (g *graph) round(below float64) (corners []leftRound, dabs []chain) {
	r := &rounding{graph: g, below: below, gone: make([]bool, len(g.links)),
		left: make([]int, len(g.nodes)), far: make([]float64, len(g.nodes)), outer: make([]int32, len(g.nodes))}
	for i, n := range g.nodes {
		r.left[i], r.far[i], r.outer[i] = len(n.ends), float64(n.at.R), -1
	}
	for found := true; found; {
		var out []end // the free end of each branch
		for i := range g.links {
			for k := range 2 {
				if e := end(2*i + k); !r.gone[i] && r.small(e) {
					out = append(out, e)
					break
				}
			}
		}
		for _, e := range out {
			r.take(e)
		}
		found = len(out) > 0
	}
	corners = r.corners()
	for i := range g.nodes {
		if n := &g.nodes[i]; len(n.ends) > 0 && r.left[i] == 0 && r.outer[i] < 0 && !n.cut {
			dabs = append(dabs, chain{kind: Main, points: []axis.Point{n.at}, tips: [2]bool{true, true}})
		}
	}
	g.remove(r.gone)
	return corners, dabs
}

// small reports whether a branch with a free end there squares a small corner.
// A stroke that only goes on is none, nor is one into a wide place.
func (r *rounding) small(e end) bool {
	tip, root := r.graph.node(e), r.graph.node(e.other())
	if t, n := &r.graph.nodes[tip], &r.graph.nodes[root]; tip == root || r.left[tip] != 1 || r.left[root] < 3 && !n.cut || t.cut && t.at.R >= n.at.R {
		return false
	}
	return r.reach(e) < r.below
}

// reach is how far the shape reaches beyond the mark at the root of a branch.
func (r *rounding) reach(e end) float64 {
	return r.graph.links[e.link()].length + r.far[r.graph.node(e)] - float64(r.graph.nodes[r.graph.node(e.other())].at.R)
}

func (r *rounding) take(e end) {
	tip, root := r.graph.node(e), r.graph.node(e.other())
	r.far[root] = max(r.far[root], r.graph.links[e.link()].length+r.far[tip])
	r.gone[e.link()], r.outer[tip] = true, int32(e)
	r.left[tip]--
	r.left[root]--
}

// corners lists what was taken out, all branches of one corner together.
func (r *rounding) corners() []leftRound {
	var out []leftRound
	number := map[end]int{} // by the innermost branch of a corner
	for tip, o := range r.outer {
		if o < 0 {
			continue
		}
		e, inmost := end(o), end(o)
		for root := r.graph.node(inmost.other()); r.outer[root] >= 0; root = r.graph.node(inmost.other()) {
			inmost = end(r.outer[root])
		}
		i, known := number[inmost]
		if !known {
			i = len(out)
			number[inmost] = i
			out = append(out, leftRound{at: r.graph.nodes[r.graph.node(inmost.other())].at})
		}
		out[i].length += r.graph.links[e.link()].length
		out[i].area += r.bare(e, int32(tip))
	}
	return out
}

// bare is the area of a branch that the mark at its root does not cover, in mm².
func (r *rounding) bare(e end, at int32) float64 {
	l := &r.graph.links[e.link()]
	s := stretch{points: l.points, ends: [2]joint{meeting, meeting}, slopes: [2]float64{math.NaN(), math.NaN()}}
	for k, n := range l.nodes {
		switch {
		case n == at && r.graph.free(n):
			s.ends[k] = tip
		case n != at && r.outer[n] < 0:
			s.ends[k] = painted
		}
	}
	return squareMM(max(s.bare(0), 0))
}
