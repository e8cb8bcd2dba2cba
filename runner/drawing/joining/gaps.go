package joining

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"mahlstick/runner/vector"
)

// bridge is a pair of loose ends near to each other.
type bridge struct {
	distance2 float64
	a, b      int32 // numbers in the list of loose ends
}

// looseEnd is an end of an open chain.
type looseEnd struct {
	chain int32
	tail  bool
	at    vector.XY
	group int32
	pair  int32 // the loose end that it was joined to, or -1
}

// order is the end's number among the ends of all chains.
func (e *looseEnd) order() int32 {
	if e.tail {
		return 2*e.chain + 1
	}
	return 2 * e.chain
}

func inNearbyOrder(ends []looseEnd) []looseEnd {
	out := make([]looseEnd, len(ends))
	for k, i := range nearbyOrder(len(ends), func(i int32) vector.XY { return ends[i].at }) {
		out[k] = ends[i]
	}
	return out
}

// bridger joins chains over gaps.
type bridger struct{ j *joiner }

// looseEnds are the ends of open chains at which nothing else ends.
func (b *bridger) looseEnds() []looseEnd {
	open := 0
	for i := range b.j.chains {
		if !b.j.chains[i].closed {
			open++
		}
	}
	ends := make([]looseEnd, 0, 2*open)
	for i := range b.j.chains {
		ch := &b.j.chains[i]
		if ch.closed {
			continue
		}
		group := b.j.lines[ch.lowest].Group
		if e := b.j.head(ch); b.j.degree[b.j.node[e]] == 1 {
			ends = append(ends, looseEnd{int32(i), false, b.j.end(e), group, -1})
		}
		if e := b.j.tail(ch); b.j.degree[b.j.node[e]] == 1 {
			ends = append(ends, looseEnd{int32(i), true, b.j.end(e), group, -1})
		}
	}
	return inNearbyOrder(ends)
}

// bridgeGaps joins the nearest loose ends within the gap and makes longer
// chains of what they join. What stays loose is noted.
func (b *bridger) bridgeGaps() {
	ends := b.looseEnds()
	for _, pair := range b.bridges(ends) {
		if ends[pair.a].pair < 0 && ends[pair.b].pair < 0 {
			ends[pair.a].pair, ends[pair.b].pair = pair.b, pair.a
		}
	}
	if slices.ContainsFunc(ends, func(e looseEnd) bool { return e.pair >= 0 }) {
		newSplicer(b.j, ends).splice()
	}
	still := ends[:0]
	for _, e := range ends {
		if e.pair < 0 {
			still = append(still, e)
		}
	}
	nearest := distances(still)
	for i, e := range still {
		near := -1.0
		if i < len(nearest) {
			near = nearest[i]
		}
		b.j.out.addLoose(End{At: e.at, Ends: 1, Nearest: near, Line: &b.j.lines[b.lineOf(e)]})
	}
	loose := b.j.out.Loose
	sort.SliceStable(loose, func(i, k int) bool { return loose[i].Line.At < loose[k].Line.At })
}

// lineOf is the line on which a loose end lies.
func (b *bridger) lineOf(e looseEnd) int32 {
	ch := &b.j.chains[e.chain]
	if e.tail {
		return b.j.tail(ch) >> 1
	}
	return b.j.head(ch) >> 1
}

// bridges lists pairs of loose ends within the gap, the nearest first. It
// gives up where the gap is so wide that nearly everything is near to
// everything.
func (b *bridger) bridges(ends []looseEnd) []bridge {
	g := newGridIndex(4*max(b.j.gap, b.j.meet), len(ends))
	for i := range ends {
		g.add(ends[i].at, ends[i].group)
	}
	out := make([]bridge, 0, len(ends)/2)
	work := 64*len(ends) + 1_000_000
	for i := range int32(len(ends)) {
		e := &ends[i]
		g.near(e.at, e.group, b.j.gap, func(k int32, distance2 float64) bool {
			work--
			if k > i && (ends[k].chain != e.chain || b.isLonger(e.chain)) {
				out = append(out, bridge{distance2, i, k})
			}
			return work > 0
		})
		if work <= 0 {
			b.j.out.TooManyNear = &b.j.lines[b.lineOf(*e)]
			return nil
		}
	}
	slices.SortFunc(out, func(p, q bridge) int {
		if p.distance2 != q.distance2 {
			return cmp.Compare(p.distance2, q.distance2)
		}
		pa, pb := ends[p.a].order(), ends[p.b].order()
		qa, qb := ends[q.a].order(), ends[q.b].order()
		return cmp.Or(cmp.Compare(min(pa, pb), min(qa, qb)), cmp.Compare(max(pa, pb), max(qa, qb)))
	})
	return out
}

// isLonger says whether a chain reaches farther than the gap from its start: a
// shorter one is no outline.
func (b *bridger) isLonger(n int32) bool {
	ch := &b.j.chains[n]
	from := b.j.end(b.j.head(ch))
	limit := float64(b.j.gap * b.j.gap)
	for _, e := range b.j.runs[ch.from:ch.to] {
		if slices.ContainsFunc(b.j.lines[e>>1].Points, func(p vector.XY) bool { return vector.Distance2(p, from) > limit }) {
			return true
		}
	}
	return false
}

// distances gives, for each loose end, the way to the nearest other one of
// its group (mm), or -1. It looks only at the first MaxEnds.
func distances(ends []looseEnd) []float64 {
	n := min(len(ends), MaxEnds)
	byX := make([]int, n)
	for i := range byX {
		byX[i] = i
	}
	slices.SortFunc(byX, func(i, k int) int {
		return cmp.Or(cmp.Compare(ends[i].at.X, ends[k].at.X), cmp.Compare(i, k))
	})
	out := make([]float64, n)
	for k, i := range byX {
		best := math.Inf(1)
		look := func(n int) bool {
			way := ends[n].at.Minus(ends[i].at)
			if ends[n].group == ends[i].group {
				best = min(best, way.Dot(way))
			}
			return float64(way.X*way.X) < best
		}
		for m := k + 1; m < n && look(byX[m]); m++ {
		}
		for m := k - 1; m >= 0 && look(byX[m]); m-- {
		}
		out[i] = -1
		if !math.IsInf(best, 1) {
			out[i] = math.Sqrt(best)
		}
	}
	return out
}
