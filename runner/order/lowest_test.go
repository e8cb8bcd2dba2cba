package order_test

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// bound is a length in mm that no order of the gestures, each from either end, can
// undercut when the brush comes from a place and goes back there: that of M. Held,
// R. M. Karp, Operations Research 18 (1970) 1138-1162, for strokes. In every tour each end of
// a stroke is joined with its other end by the stroke itself, and with one other
// end, or the place, by travel. A tree that joins all strokes by travel, and
// the two shortest ways to the place, are at most as long; so they are when each
// end has a price that its travels are dearer by, less all prices. The prices
// rise where more than one way meets an end and fall where none does.
//
// Of an odd number of ends one at least is joined with an end outside, so that the
// ways among them are at most half of the others (J. Edmonds, J. Research National
// Bureau of Standards 69B, 1965, 125-130). Where the trees of many rounds have more on
// average, those ways get a price, less as often as there may be such ways. Without
// that the bound is 2 to 3 % weaker for long strokes side by side.
//
// What is known then rules out travels with which no tour is shorter than enough, and
// the search goes on with those that are left: with few ends long strokes side by side
// leave little. It ends after so many rounds that win little, or at enough, which is the
// most that it answers. With cases it then looks at so many cases of travels.
// upper is the length of some tour in mm, for the steps by which the prices change:
// M. Held, P. Wolfe, H. P. Crowder, Mathematical Programming 6 (1974) 62-88. The
// averages are those of F. Barahona, R. Anbil, Mathematical Programming 87 (2000) 385-399.
func bound(gestures []stroke.Gesture, place plane.Point, upper, enough float64, rounds, cases int) float64 {
	b := newBounding(gestures, place)
	b.enough = enough * plane.PerMM
	b.upper = upper * plane.PerMM
	x := branching{b, cases}
	return min(x.below(b.least(rounds, 1)), b.enough) / plane.PerMM
}

// least is the bound of the tours that are shorter than enough, in grid steps. It is
// Inf(1) if there are none.
func (b *bounding) least(rounds int, scale float64) float64 {
	best := math.Inf(-1)
	for range boundPhases {
		b.ascend(rounds, scale)
		// The ascent knows only ways to near ends; the bound counts all.
		l := b.tree(!b.whole)
		if math.IsInf(l, -1) {
			return math.Inf(1)
		}
		before := best
		best = max(best, l)
		if best >= b.enough {
			break
		}
		added := !b.whole && b.addChosen()
		reduced, possible := (&reducing{b, b.enough - l}).reduce()
		if !possible {
			return math.Inf(1)
		}
		if !added && !reduced && best < before+boundRise*b.upper {
			break
		}
	}
	return best
}

const (
	boundPhases   = 14
	boundNear     = 14 // near ends to which there are ways at first
	boundNearFew  = 40 // and with few ends
	boundFew      = 400
	boundEvery    = 20   // rounds between looks for odd sets
	boundLargest  = 75   // most ends of an odd set
	boundViolated = 0.04 // ways too many on average
	boundLeast    = 30   // least price of an odd set, in grid steps
	boundRise     = 2e-4 // least rise of the bound, as a share of the tour, for which it goes on
	boundAverage  = 0.03 // share of the last tree in the average
)

// bounding holds the ways between ends and their prices.
type bounding struct {
	at         []plane.Point // ends, two a stroke
	place      plane.Point
	travels    choices
	whole      bool    // all travels that are left are in near
	homeSecond float64 // the dearer way to the place of the last tree; none if it is settled
	upper      float64 // length of some tour
	enough     float64 // a bound with which the search for a better one ends
	near       [][]way
	ways       []edge
	price      []float64
	degree     []int
	sets       []*oddSet
	known      map[string]bool
	chosen     [][2]int // ways of the last tree: from, to
	by         []int32  // and their numbers, -1 for one that is not in ways
}

type way struct{ to, edge int32 }

type edge struct {
	penalty float64 // prices of the odd sets in which it lies
	average float64 // how often it was in trees
	sets    []int32
}

func newBounding(gestures []stroke.Gesture, place plane.Point) *bounding {
	b := &bounding{place: place, known: make(map[string]bool)}
	for _, g := range gestures {
		b.at = append(b.at, g.Points[0].Plane(), g.Points[len(g.Points)-1].Plane())
	}
	n := len(b.at)
	b.travels = choices{slices.Repeat([]int{unsettled}, n), make([]bool, n*(n+1))}
	b.price, b.degree, b.near = make([]float64, n), make([]int, n), make([][]way, n)
	near := boundNear
	if n < boundFew {
		near = boundNearFew
	}
	for ; ; near *= 2 {
		others := make([]int, 0, n)
		for e := range b.at {
			others = others[:0]
			for f := range b.at {
				if f/2 != e/2 {
					others = append(others, f)
				}
			}
			slices.SortFunc(others, func(f, g int) int {
				return int(math.Copysign(1, plane.Distance(b.at[e], b.at[f])-plane.Distance(b.at[e], b.at[g])))
			})
			for _, f := range others[:min(near, len(others))] {
				b.addWay(e, f)
			}
		}
		if !math.IsInf(b.tree(false), -1) {
			return b
		}
	}
}

// addWay adds a way between two ends, unless it is known. It reports whether it is
// new.
func (b *bounding) addWay(e, f int) bool {
	if slices.ContainsFunc(b.near[e], func(w way) bool { return int(w.to) == f }) {
		return false
	}
	id := int32(len(b.ways))
	b.ways = append(b.ways, edge{})
	b.near[e], b.near[f] = append(b.near[e], way{int32(f), id}), append(b.near[f], way{int32(e), id})
	return true
}

// addChosen adds the ways of the last tree, and reports whether any was not known.
func (b *bounding) addChosen() bool {
	added := false
	for _, c := range b.chosen {
		added = b.addWay(c[0], c[1]) || added
	}
	return added
}

// ascend raises the bound by changing the prices, and leaves the best ones.
func (b *bounding) ascend(rounds int, scale float64) {
	best, since := math.Inf(-1), 0
	prices := slices.Clone(b.price)
	keep := func() {
		copy(prices, b.price)
		for _, s := range b.sets {
			s.best = s.price
		}
	}
	direction := make([]float64, len(b.price))
	for round := range rounds {
		l := b.tree(false)
		if math.IsInf(l, -1) {
			break
		}
		b.count()
		if since++; l > best {
			best, since = l, 0
			keep()
		}
		if best >= b.enough {
			break
		}
		if since == 25 {
			scale, since = 0.7*scale, 0
		}
		if !b.step(direction, scale*(b.upper-l)) {
			break // the tree is a tour
		}
		if round%boundEvery == boundEvery-1 && (round > 100 || scale < 1) && b.findSets() {
			scale = max(scale, 0.3)
		}
	}
	copy(b.price, prices)
	for _, s := range b.sets {
		s.price = s.best
	}
	b.forgetSets()
	b.penalties()
}

// count averages the ways of trees and counts those of the last one in odd sets.
func (b *bounding) count() {
	for i := range b.ways {
		b.ways[i].average *= 1 - boundAverage
	}
	for _, s := range b.sets {
		s.has = 0
	}
	for _, i := range b.by {
		w := &b.ways[i]
		w.average += boundAverage
		for _, s := range w.sets {
			b.sets[s].has++
		}
	}
}

// step changes all prices by how far the last tree is from a tour.
func (b *bounding) step(direction []float64, length float64) bool {
	squares := 0.0
	for e := range direction {
		direction[e] = 0.3*direction[e] + 0.7*float64(b.degree[e]-1)
		squares += direction[e] * direction[e]
	}
	for _, s := range b.sets {
		if d := s.has - s.most; d > 0 || s.price > 0 {
			squares += d * d
		}
	}
	if squares == 0 {
		return false
	}
	for e := range b.price {
		b.price[e] += length / squares * direction[e]
	}
	for _, s := range b.sets {
		s.price = max(0, s.price+length/squares*(s.has-s.most))
	}
	b.penalties()
	return true
}

func (b *bounding) penalties() {
	for e, near := range b.near {
		for _, at := range near {
			if int(at.to) < e {
				continue
			}
			w := &b.ways[at.edge]
			w.penalty = 0
			for _, s := range w.sets {
				w.penalty += b.sets[s].price
			}
		}
	}
}

// tree is the length of the tree and the two ways to the place, less the prices. It
// sets the number of ways at each end. Only known ways are used, or all of them (R.
// C. Prim, Bell System Technical J. 36, 1957, 1389-1401).
func (b *bounding) tree(all bool) float64 {
	n := len(b.at)
	sum := 0.0
	for e := range b.degree {
		b.degree[e] = 0
		sum -= b.price[e]
	}
	for _, s := range b.sets {
		sum -= s.price * s.most
	}
	b.chosen, b.by = b.chosen[:0], b.by[:0]
	strokes := n / 2
	for e, f := range b.travels.joined {
		if f > e {
			id, penalty := b.way(e, f)
			sum += plane.Distance(b.at[e], b.at[f]) + b.price[e] + b.price[f] + penalty
			b.choose(e, f, id)
			strokes--
		}
	}
	g := growing{b: b, all: all, key: make([]float64, n), from: make([]int, n), by: make([]int32, n), done: make([]bool, n)}
	for e := range g.key {
		g.key[e] = math.Inf(1)
	}
	g.heap = &heap{key: g.key, where: make([]int, n)}
	g.take(0)
	for range strokes - 1 {
		e := g.next()
		if e < 0 {
			return math.Inf(-1) // the known ways do not join all
		}
		sum += g.key[e]
		b.choose(g.from[e], e, g.by[e])
		g.take(e)
	}
	return sum + b.home()
}

// choose notes a way of a tree.
func (b *bounding) choose(e, f int, id int32) {
	b.degree[e]++
	b.degree[f]++
	b.chosen, b.by = append(b.chosen, [2]int{e, f}), append(b.by, id)
}

// way is the number of a way, -1 if it is not known, and its penalty.
func (b *bounding) way(e, f int) (id int32, penalty float64) {
	for _, w := range b.near[e] {
		if int(w.to) == f {
			return w.edge, b.ways[w.edge].penalty
		}
	}
	return -1, 0
}

// home is the length of the two shortest ways to the place.
func (b *bounding) home() float64 {
	sum := 0.0
	taken := -1
	for range 2 {
		best, least, settled := -1, 0.0, false
		for e, f := range b.travels.joined {
			if e == taken || f != unsettled && f != toPlace || b.travels.ruledOut(e, toPlace) {
				continue
			}
			d := plane.Distance(b.at[e], b.place) + b.price[e]
			if here := f == toPlace; best < 0 || here && !settled || here == settled && d < least {
				best, least, settled = e, d, here
			}
		}
		if best < 0 {
			return math.Inf(-1)
		}
		b.degree[best]++
		sum, taken = sum+least, best
		if b.homeSecond = least; settled {
			b.homeSecond = math.Inf(-1)
		}
	}
	return sum
}

// growing is a tree as it grows.
type growing struct {
	b    *bounding
	all  bool
	heap *heap
	key  []float64 // the shortest way from the tree to an end
	from []int     // where it begins
	by   []int32   // and its number
	done []bool
}

// take adds an end, and by its stroke the other, and what is settled to follow those.
// A way that is not known has no penalty: then the sets count only known ways, which
// are fewer.
func (g *growing) take(e int) {
	if g.done[e] {
		return
	}
	g.done[e], g.done[e^1] = true, true
	for _, e := range [...]int{e, e ^ 1} {
		if f := g.b.travels.joined[e]; f >= 0 {
			g.take(f)
		}
		if g.b.travels.joined[e] != unsettled {
			continue
		}
		if !g.all {
			for _, w := range g.b.near[e] {
				g.look(e, int(w.to), w.edge, g.b.ways[w.edge].penalty)
			}
			continue
		}
		penalty := make(map[int]float64, len(g.b.near[e]))
		for _, w := range g.b.near[e] {
			penalty[int(w.to)] = g.b.ways[w.edge].penalty
		}
		for f := range g.b.at {
			g.look(e, f, -1, penalty[f])
		}
	}
}

func (g *growing) look(e, f int, id int32, penalty float64) {
	if g.done[f] || g.b.travels.joined[f] != unsettled || g.b.travels.ruledOut(e, f) {
		return
	}
	if c := plane.Distance(g.b.at[e], g.b.at[f]) + g.b.price[e] + g.b.price[f] + penalty; c < g.key[f] {
		g.key[f], g.from[f], g.by[f] = c, e, id
		if !g.all {
			g.heap.lower(f)
		}
	}
}

// next is the end with the shortest way to the tree, -1 if there is none.
func (g *growing) next() int {
	best := -1
	if !g.all {
		for best = g.heap.least(); best >= 0 && g.done[best]; {
			best = g.heap.least()
		}
		return best
	}
	for f := range g.b.at {
		if !g.done[f] && (best < 0 || g.key[f] < g.key[best]) {
			best = f
		}
	}
	return best
}

// heap yields the end with the least key.
type heap struct {
	key   []float64
	ends  []int
	where []int // place in ends, plus 1
}

func (h *heap) less(i, j int) bool { return h.key[h.ends[i]] < h.key[h.ends[j]] }

func (h *heap) swap(i, j int) {
	h.ends[i], h.ends[j] = h.ends[j], h.ends[i]
	h.where[h.ends[i]], h.where[h.ends[j]] = i+1, j+1
}

func (h *heap) lower(e int) {
	if h.where[e] == 0 {
		h.ends = append(h.ends, e)
		h.where[e] = len(h.ends)
	}
	for i := h.where[e] - 1; i > 0 && h.less(i, (i-1)/2); i = (i - 1) / 2 {
		h.swap(i, (i-1)/2)
	}
}

func (h *heap) least() int {
	if len(h.ends) == 0 {
		return -1
	}
	e := h.ends[0]
	last := len(h.ends) - 1
	h.swap(0, last)
	h.ends = h.ends[:last]
	h.where[e] = 0
	for i := 0; 2*i+1 < last; {
		k := 2*i + 1
		if k+1 < last && h.less(k+1, k) {
			k++
		}
		if !h.less(k, i) {
			break
		}
		h.swap(i, k)
		i = k
	}
	return e
}
