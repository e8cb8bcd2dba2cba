package order_test

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"mahlstick/runner/plane"
)

const (
	branchRounds = 25  // of a case
	branchScale  = 0.3 // of its first steps
	branchTries  = 8   // travels that are tried
	branchProbe  = 10  // rounds of a try
)

// branching raises a bound by looking at both cases of travels: all tours have one
// or do not, so the lower bound of the two holds for all.
type branching struct {
	b    *bounding
	left int // cases that may still be looked at
}

// below is the bound of what is settled and ruled out, at least as good as one that
// is known.
func (x *branching) below(known float64) float64 {
	if known >= x.b.enough || x.left <= 0 {
		return known
	}
	e, f := x.choose(known)
	if e < 0 {
		return known
	}
	s := x.save()
	x.b.travels.ruleOut(e, f)
	without := max(known, x.look())
	x.restore(s)
	if without <= known || !x.b.travels.settle(e, f) {
		return without
	}
	return min(without, max(known, x.look()))
}

// look is the bound of a case.
func (x *branching) look() float64 {
	x.left--
	return x.below(x.b.least(branchRounds, branchScale))
}

// candidate is a travel about which the trees do not agree, and how little.
type candidate struct {
	doubt float64
	e, f  int
}

// choose finds the travel both of whose cases raise the bound most, -1 if the trees
// agree about all.
func (x *branching) choose(known float64) (e, f int) {
	var all []candidate
	for e, near := range x.b.near {
		for _, w := range near {
			f, share := int(w.to), x.b.ways[w.edge].average
			if f > e && x.b.travels.open(e, f) && share > 0.05 && share < 0.95 {
				all = append(all, candidate{min(share, 1-share) * math.Sqrt(plane.Distance(x.b.at[e], x.b.at[f])+1), e, f})
			}
		}
	}
	slices.SortFunc(all, func(a, b candidate) int { return cmp.Compare(b.doubt, a.doubt) })
	gain := func(bound float64) float64 { return max(min(bound, x.b.enough)-known, x.b.enough/1e6) }
	best, e, f := -1.0, -1, -1
	for _, c := range all[:min(len(all), branchTries)] {
		t := &x.b.travels
		apart, back := &t.apart[t.seat(c.e, c.f)], &t.apart[t.seat(c.f, c.e)]
		*apart, *back = true, true
		without := x.probe()
		*apart, *back = false, false
		t.joined[c.e], t.joined[c.f] = c.f, c.e
		with := x.probe()
		t.joined[c.e], t.joined[c.f] = unsettled, unsettled
		if g := gain(without) * gain(with); g > best {
			best, e, f = g, c.e, c.f
		}
	}
	return e, f
}

// probe is what a few rounds make of the bound. It changes nothing.
func (x *branching) probe() float64 {
	b := x.b
	prices, ways := slices.Clone(b.price), slices.Clone(b.ways)
	setPrices := make([]float64, len(b.sets))
	for i, s := range b.sets {
		setPrices[i] = s.price
	}
	best, direction := math.Inf(-1), make([]float64, len(b.price))
	for range branchProbe {
		l := b.tree(false)
		if math.IsInf(l, -1) {
			best = math.Inf(1)
		}
		if best = max(best, l); best > b.enough {
			break
		}
		b.count()
		if !b.step(direction, branchScale*(b.upper-l)) {
			break
		}
	}
	copy(b.price, prices)
	copy(b.ways, ways)
	for i, s := range b.sets {
		s.price = setPrices[i]
	}
	return best
}

// saved is what a case changes.
type saved struct {
	price  []float64
	joined []int
	apart  []bool
	near   [][]way
	whole  bool
	sets   map[string]float64 // prices by the ends
}

func (x *branching) save() saved {
	b := x.b
	s := saved{slices.Clone(b.price), slices.Clone(b.travels.joined), slices.Clone(b.travels.apart), slices.Clone(b.near), b.whole, make(map[string]float64)}
	for _, set := range b.sets {
		s.sets[set.key] = set.price
	}
	return s
}

func (x *branching) restore(s saved) {
	b := x.b
	copy(b.price, s.price)
	copy(b.travels.joined, s.joined)
	copy(b.travels.apart, s.apart)
	copy(b.near, s.near)
	b.whole = s.whole
	for _, key := range slices.Sorted(maps.Keys(s.sets)) {
		var ends []int32
		for i := 0; i < len(key); i += 4 {
			ends = append(ends, int32(key[i])|int32(key[i+1])<<8|int32(key[i+2])<<16|int32(key[i+3])<<24)
		}
		b.addSet(ends)
	}
	for _, set := range b.sets {
		set.price = s.sets[set.key]
		set.best = set.price
	}
	b.forgetSets()
	b.penalties()
}
