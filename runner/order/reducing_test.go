package order_test

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
)

// choices are what is known of travels.
type choices struct {
	joined []int  // by end: the other end of its travel if it is settled, else unsettled
	apart  []bool // by end and end: travels that are ruled out; those to the place come last
}

// What joined says of an end whose travel is not settled, or leads to the place.
const (
	unsettled = -1
	toPlace   = -2
)

func (c *choices) seat(e, f int) int {
	n := len(c.joined)
	if f == toPlace {
		f = n
	}
	return e*(n+1) + f
}

// ruledOut reports whether a travel is ruled out.
func (c *choices) ruledOut(e, f int) bool { return c.apart[c.seat(e, f)] }

// ruleOut rules a travel out.
func (c *choices) ruleOut(e, f int) {
	c.apart[c.seat(e, f)] = true
	if f != toPlace {
		c.apart[c.seat(f, e)] = true
	}
}

// open reports whether a travel between ends of two strokes may be, and need not.
func (c *choices) open(e, f int) bool {
	return e/2 != f/2 && c.joined[e] == unsettled && c.joined[f] == unsettled && !c.ruledOut(e, f)
}

// openHome reports that of a travel to the place.
func (c *choices) openHome(e int) bool { return c.joined[e] == unsettled && !c.ruledOut(e, toPlace) }

// farEnd is the other end of what is joined to an end's stroke.
func (c *choices) farEnd(e int) int {
	for e ^= 1; c.joined[e] >= 0; {
		e = c.joined[e] ^ 1
	}
	return e
}

// settle settles a travel. It reports false if that closes a ring.
func (c *choices) settle(e, f int) bool {
	c.joined[e] = f
	if f < 0 {
		return true
	}
	c.joined[e] = unsettled
	u := c.farEnd(e)
	if u == f {
		return false
	}
	v := c.farEnd(f)
	c.joined[e], c.joined[f] = f, e
	if c.joined[u] == unsettled && c.joined[v] == unsettled {
		c.ruleOut(u, v) // that would close one
	}
	return true
}

// only is the one travel that is left for an end, and how many are, at most 2.
func (c *choices) only(e int, home bool) (f, left int) {
	if home && c.openHome(e) {
		f, left = toPlace, 1
	}
	for g := range c.joined {
		if left < 2 && c.open(e, g) {
			f, left = g, left+1
		}
	}
	return f, left
}

// settleSingle settles the travels of ends that have only one left. It reports
// whether there were any, and whether a tour is still possible.
func (c *choices) settleSingle() (settled, possible bool) {
	homes := 0
	for _, f := range c.joined {
		if f == toPlace {
			homes++
		}
	}
	for e, f := range c.joined {
		if f != unsettled || c.joined[e] != unsettled {
			continue
		}
		f, left := c.only(e, homes < 2)
		if left > 1 {
			continue
		}
		if left == 0 || !c.settle(e, f) {
			return settled, false
		}
		if settled = true; f == toPlace {
			homes++
		}
	}
	return settled, true
}

const mostLeft = 24 // travels left a stroke up to which all become known

// reducing rules out the travels with which no tour is shorter than enough, as
// the last tree shows: with such a travel, and without the dearest on the way
// in the tree that it closes, the tree is too long.
type reducing struct {
	b    *bounding
	most float64 // by how much the tree may get longer
}

// reduce reports whether much has changed, and whether any tour is possible.
func (r *reducing) reduce() (changed, possible bool) {
	out, left := 0, 0
	dearest, limbs := make([]float64, len(r.b.at)/2), r.limbs()
	for s := range dearest {
		dearestFrom(s, limbs, dearest)
		for _, e := range [...]int{2 * s, 2*s + 1} {
			o, l := r.reduceFrom(e, dearest)
			out, left = out+o, left+l
		}
	}
	for e := range r.b.at {
		if r.b.travels.openHome(e) && r.homeWay(e)-r.b.homeSecond > r.most {
			r.b.travels.ruleOut(e, toPlace)
			out++
		}
	}
	changed = out > left/20
	for settled := true; settled; changed = changed || settled {
		if settled, possible = r.b.travels.settleSingle(); !possible {
			return false, false
		}
	}
	if left < mostLeft*len(dearest) {
		r.know()
	}
	return changed, true
}

// reduceFrom rules out travels from an end to ends of later strokes.
func (r *reducing) reduceFrom(e int, dearest []float64) (out, left int) {
	penalty := make(map[int]float64, len(r.b.near[e]))
	for _, w := range r.b.near[e] {
		penalty[int(w.to)] = r.b.ways[w.edge].penalty
	}
	for f := (e | 1) + 1; f < len(r.b.at); f++ {
		switch {
		case !r.b.travels.open(e, f):
		case plane.Distance(r.b.at[e], r.b.at[f])+r.b.price[e]+r.b.price[f]+penalty[f]-dearest[f/2] > r.most:
			r.b.travels.ruleOut(e, f)
			out++
		default:
			left++
		}
	}
	return out, left
}

func (r *reducing) homeWay(e int) float64 { return plane.Distance(r.b.at[e], r.b.place) + r.b.price[e] }

// limb is a travel of the last tree, by the stroke that it leads to.
type limb struct {
	to   int
	cost float64
}

// limbs are the travels of the last tree by stroke; settled ones cannot be given up.
func (r *reducing) limbs() [][]limb {
	out := make([][]limb, len(r.b.at)/2)
	for _, c := range r.b.chosen {
		e, f := c[0], c[1]
		cost := math.Inf(-1)
		if r.b.travels.joined[e] == unsettled {
			_, penalty := r.b.way(e, f)
			cost = plane.Distance(r.b.at[e], r.b.at[f]) + r.b.price[e] + r.b.price[f] + penalty
		}
		out[e/2] = append(out[e/2], limb{f / 2, cost})
		out[f/2] = append(out[f/2], limb{e / 2, cost})
	}
	return out
}

// dearestFrom finds the dearest travel on the way in the tree from a stroke to
// each other.
func dearestFrom(s int, limbs [][]limb, dearest []float64) {
	type visit struct{ at, from int }
	dearest[s] = math.Inf(-1)
	for todo := []visit{{s, -1}}; len(todo) > 0; {
		v := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, l := range limbs[v.at] {
			if l.to != v.from {
				dearest[l.to] = max(dearest[v.at], l.cost)
				todo = append(todo, visit{l.to, v.at})
			}
		}
	}
}

// know makes near hold all travels that are left, and no others, in new lists.
func (r *reducing) know() {
	for e := range r.b.at {
		r.b.near[e] = slices.DeleteFunc(slices.Clone(r.b.near[e]), func(w way) bool {
			return r.b.travels.joined[e] != int(w.to) && !r.b.travels.open(e, int(w.to))
		})
	}
	for e := range r.b.at {
		for f := range e {
			if r.b.travels.open(e, f) {
				r.b.addWay(e, f)
			}
		}
	}
	r.b.whole = true
}
