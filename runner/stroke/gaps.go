package stroke

import (
	"math"
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/vector"
)

// gaps are the stretches of the ridges of a wide place that its lanes leave
// bare: the middle of a place where the next lane inwards has no room, and the
// way into corners too sharp for it. Between lane k and the next one the bare
// part has the same axis as the region, its radius less the depth that the
// lanes up to k cover; the strokes are as wide as that and the overlap.
type gaps struct {
	filling
	net
	next []bool // by node: the next lane begins here
}

// gaps gives the strokes that paint them.
func (f filling) gaps(wide *net) []chain {
	g := &gaps{filling: f}
	for _, n := range wide.nodes {
		g.addNode(n.at, false)
	}
	for _, l := range wide.links {
		g.cut(l)
	}
	g.next = append(g.next, make([]bool, len(g.nodes)-len(g.next))...)
	var out []chain
	for _, part := range g.parts() {
		if i := part[0]; len(g.nodes[i].ends) > 0 {
			if g.reached(part) {
				g.drop(part)
			}
		} else if int(i) < len(wide.nodes) && len(wide.nodes[i].ends) == 0 {
			// The middle of a round place.
			if r := float64(wide.nodes[i].at.R); f.bare(r) {
				out = append(out, chain{kind: Lane, points: []axis.Point{f.narrowed(wide.nodes[i].at, f.lane(r))}})
			}
		}
	}
	return append(out, g.chains()...)
}

// lane is the number of the last lane, from 0, whose depth is at most r.
func (f filling) lane(r float64) float64 { return math.Floor((r - f.first) / f.pitch) }

// depth of a lane.
func (f filling) depth(lane float64) float64 { return f.first + mul(lane, f.pitch) }

// bare says whether a point at depth r on a ridge lies beyond the marks of the
// lanes up to it.
func (f filling) bare(r float64) bool {
	k := f.lane(r)
	return k >= 0 && r > f.depth(k)+f.radius
}

// narrowed gives a ridge point the radius that is to be painted there, given
// the last lane before it.
func (f filling) narrowed(p axis.Point, lane float64) axis.Point {
	rest := float64(p.R) - f.depth(lane) - f.radius
	p.R = int32(min(max(rest, 0)+f.spare, f.radius))
	return p
}

// cut adds the bare stretches of a link.
func (g *gaps) cut(l link) {
	var points []axis.Point // of the stretch that is open
	var from int32
	stop := func(at axis.Point, next bool) int32 {
		g.next = append(g.next, make([]bool, len(g.nodes)-len(g.next))...)
		g.next = append(g.next, next)
		return g.addNode(at, true)
	}
	last := l.points[0]
	for i := 1; i < len(l.points); i++ {
		a, b := l.points[i-1], l.points[i]
		ra, rb := float64(a.R), float64(b.R)
		before := 0.0
		for _, t := range append(g.stops(ra, rb), 1) {
			to := b
			if t < 1 {
				to = between(a, b, t)
			}
			r := vector.Lerp(ra, rb, (before+t)/2)
			k := g.lane(r)
			switch {
			case g.bare(r):
				if points == nil {
					points = []axis.Point{g.narrowed(last, k)}
					if from = l.nodes[0]; i > 1 || before > 0 {
						from = stop(last, rb < ra)
					}
				}
				points = append(points, g.narrowed(to, k))
			case points != nil:
				g.addLink(points, from, stop(last, rb > ra))
				points = nil
			}
			last, before = to, t
		}
	}
	if points != nil {
		g.addLink(points, from, l.nodes[1])
	}
}

// stops lists, rising, the shares of the way from radius a to radius b at
// which a bare stretch may begin or end.
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

// reached says whether every point of a part lies so near a place where the
// next lane begins that its marks cover it.
func (g *gaps) reached(part []int32) bool {
	far := map[int32]float64{} // along the net to the nearest such place
	for _, i := range part {
		if far[i] = math.Inf(1); g.next[i] {
			far[i] = 0
		}
	}
	for changed := true; changed; {
		changed = false
		for _, i := range part {
			for _, e := range g.nodes[i].ends {
				if d := far[g.node(e.other())] + g.links[e.link()].length; d < far[i] {
					far[i], changed = d, true
				}
			}
		}
	}
	for _, i := range part {
		for _, e := range g.nodes[i].ends {
			// The farthest point of a link lies between its ends.
			if (far[i]+far[g.node(e.other())]+g.links[e.link()].length)/2 > mul(0.98, g.radius) {
				return false
			}
		}
	}
	return true
}

// drop takes the links of a part out of a net.
func (n *net) drop(part []int32) {
	gone := make([]bool, len(n.links))
	for _, i := range part {
		for _, e := range n.nodes[i].ends {
			gone[e.link()] = true
		}
	}
	old := n.links
	n.links = nil
	for i := range n.nodes {
		n.nodes[i].ends = nil
	}
	for i, l := range old {
		if !gone[i] {
			n.addLink(l.points, l.nodes[0], l.nodes[1])
		}
	}
}
