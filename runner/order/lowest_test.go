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
// The search ends after so many rounds, or at a bound that is enough.
// upper is the length of some tour in mm, for the steps by which the prices change:
// M. Held, P. Wolfe, H. P. Crowder, Mathematical Programming 6 (1974) 62-88. The
// averages are those of F. Barahona, R. Anbil, Mathematical Programming 87 (2000) 385-399.
func bound(gestures []stroke.Gesture, place plane.Point, upper, enough float64, rounds int) float64 {
	b := newBounding(gestures, place)
	best := math.Inf(-1)
	b.enough = enough * plane.PerMM
	for range boundPhases {
		b.ascend(upper*plane.PerMM, rounds)
		// The ascent knows only ways to near ends; the bound counts all.
		best = max(best, b.tree(true))
		if best >= b.enough || !b.addChosen() {
			break
		}
	}
	return best / plane.PerMM
}

const (
	boundPhases   = 3
	boundNear     = 14   // near ends to which there are ways at first
	boundEvery    = 20   // rounds between looks for odd sets
	boundLargest  = 75   // most ends of an odd set
	boundViolated = 0.02 // ways too many on average
	boundAverage  = 0.03 // share of the last tree in the average
)

// bounding holds the ways between ends and their prices.
type bounding struct {
	at     []plane.Point // ends, two a stroke
	place  plane.Point
	enough float64 // a bound with which the search for a better one ends
	near   [][]way
	ways   []edge
	price  []float64
	degree []int
	sets   []*oddSet
	known  map[string]bool
	chosen [][2]int // ways of the last tree: from, to
	by     []int32  // and their numbers, -1 for one that is not in ways
}

type way struct{ to, edge int32 }

type edge struct {
	penalty float64 // prices of the odd sets in which it lies
	average float64 // how often it was in trees
	sets    []int32
}

// oddSet is an odd number of ends.
type oddSet struct {
	most  float64 // ways among them
	price float64
	has   float64 // ways of the last tree
}

func newBounding(gestures []stroke.Gesture, place plane.Point) *bounding {
	b := &bounding{place: place, known: make(map[string]bool)}
	for _, g := range gestures {
		b.at = append(b.at, g.Points[0].Plane(), g.Points[len(g.Points)-1].Plane())
	}
	n := len(b.at)
	b.price, b.degree, b.near = make([]float64, n), make([]int, n), make([][]way, n)
	for near := boundNear; ; near *= 2 {
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
func (b *bounding) ascend(upper float64, rounds int) {
	best, since, scale := math.Inf(-1), 0, 1.0
	prices, setPrices := slices.Clone(b.price), []float64{}
	keep := func() {
		copy(prices, b.price)
		setPrices = setPrices[:0]
		for _, s := range b.sets {
			setPrices = append(setPrices, s.price)
		}
	}
	direction := make([]float64, len(b.price))
	for round := range rounds {
		l := b.tree(false)
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
		if !b.step(direction, scale*(upper-l)) {
			break // the tree is a tour
		}
		if round%boundEvery == boundEvery-1 && round > 100 && b.findSets() {
			scale = max(scale, 0.3)
		}
	}
	copy(b.price, prices)
	for i, s := range b.sets {
		s.price = 0
		if i < len(setPrices) {
			s.price = setPrices[i]
		}
	}
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
	for i := range b.ways {
		w := &b.ways[i]
		w.penalty = 0
		for _, s := range w.sets {
			w.penalty += b.sets[s].price
		}
	}
}

// findSets adds the odd sets that growth from each end finds.
func (b *bounding) findSets() bool {
	found := false
	g := growth{bounding: b, in: make([]float64, len(b.at)), taken: make([]bool, len(b.at))}
	for e := range b.at {
		found = b.addSet(slices.Sorted(slices.Values(g.from(int32(e))))) || found
	}
	return found
}

// growth is a set of ends as it grows.
type growth struct {
	*bounding
	in    []float64 // average ways into the set
	taken []bool
}

// from lets a set grow from an end, always by the end to which the most ways lead on
// average, and gives the odd set that has the most too many.
func (g *growth) from(e int32) []int32 {
	set, reached, inside := []int32{e}, []int32{}, 0.0
	size, worst := 0, boundViolated
	for {
		last := set[len(set)-1]
		g.taken[last] = true
		for _, w := range g.near[last] {
			if x := g.ways[w.edge].average; x > 0.01 {
				if g.in[w.to] == 0 {
					reached = append(reached, w.to)
				}
				g.in[w.to] += x
			}
		}
		if too := inside - float64(len(set)/2); len(set)%2 == 1 && too > worst {
			size, worst = len(set), too
		}
		next := int32(-1)
		for _, f := range reached {
			if !g.taken[f] && (next < 0 || g.in[f] > g.in[next]) {
				next = f
			}
		}
		if next < 0 || len(set) == boundLargest {
			break
		}
		inside += g.in[next]
		set = append(set, next)
	}
	for _, f := range reached {
		g.in[f] = 0
	}
	for _, f := range set {
		g.taken[f] = false
	}
	return set[:size]
}

// addSet adds an odd set, unless it is known.
func (b *bounding) addSet(ends []int32) bool {
	key := make([]byte, 0, 4*len(ends))
	for _, e := range ends {
		key = append(key, byte(e), byte(e>>8), byte(e>>16), byte(e>>24))
	}
	if len(ends) == 0 || b.known[string(key)] {
		return false
	}
	b.known[string(key)] = true
	for _, e := range ends {
		for _, w := range b.near[e] {
			if _, inside := slices.BinarySearch(ends, w.to); inside && e < w.to {
				b.ways[w.edge].sets = append(b.ways[w.edge].sets, int32(len(b.sets)))
			}
		}
	}
	b.sets = append(b.sets, &oddSet{most: float64(len(ends) / 2)})
	return true
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
	g := growing{bounding: b, all: all, key: make([]float64, n), from: make([]int, n), by: make([]int32, n), done: make([]bool, n)}
	for e := range g.key {
		g.key[e] = math.Inf(1)
	}
	g.heap = &heap{key: g.key, where: make([]int, n)}
	g.take(0)
	for range n/2 - 1 {
		e := g.next()
		if e < 0 {
			return math.Inf(-1) // the known ways do not join all
		}
		sum += g.key[e]
		b.degree[e]++
		b.degree[g.from[e]]++
		b.chosen, b.by = append(b.chosen, [2]int{g.from[e], e}), append(b.by, g.by[e])
		g.take(e)
	}
	return sum + b.home()
}

// home is the length of the two shortest ways to the place.
func (b *bounding) home() float64 {
	first, second := -1, -1
	way := func(e int) float64 { return plane.Distance(b.at[e], b.place) + b.price[e] }
	for e := range b.at {
		switch {
		case first < 0 || way(e) < way(first):
			first, second = e, first
		case second < 0 || way(e) < way(second):
			second = e
		}
	}
	b.degree[first]++
	b.degree[second]++
	return way(first) + way(second)
}

// growing is a tree as it grows.
type growing struct {
	*bounding
	all  bool
	heap *heap
	key  []float64 // the shortest way from the tree to an end
	from []int     // where it begins
	by   []int32   // and its number
	done []bool
}

// take adds an end, and by its stroke the other. A way that is not known has no
// penalty: then the sets count only known ways, which are fewer.
func (g *growing) take(e int) {
	for _, e := range [...]int{e, e ^ 1} {
		g.done[e] = true
		var penalty map[int]float64
		if g.all {
			penalty = make(map[int]float64, len(g.near[e]))
		}
		for _, w := range g.near[e] {
			if g.all {
				penalty[int(w.to)] = g.ways[w.edge].penalty
				continue
			}
			g.look(e, int(w.to), w.edge, g.ways[w.edge].penalty)
		}
		if g.all {
			for f := range g.at {
				g.look(e, f, -1, penalty[f])
			}
		}
	}
}

func (g *growing) look(e, f int, id int32, penalty float64) {
	if g.done[f] {
		return
	}
	if c := plane.Distance(g.at[e], g.at[f]) + g.price[e] + g.price[f] + penalty; c < g.key[f] {
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
	for f := range g.at {
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
