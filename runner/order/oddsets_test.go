package order_test

import "slices"

// forgetSets drops the odd sets without a price.
func (b *bounding) forgetSets() {
	kept := make([]int32, len(b.sets))
	sets := b.sets[:0]
	for i, s := range b.sets {
		if kept[i] = -1; max(s.price, s.best) > boundLeast {
			kept[i] = int32(len(sets))
			sets = append(sets, s)
		} else {
			b.known[s.key] = false
		}
	}
	b.sets = sets
	for i := range b.ways {
		in := b.ways[i].sets[:0]
		for _, s := range b.ways[i].sets {
			if kept[s] >= 0 {
				in = append(in, kept[s])
			}
		}
		b.ways[i].sets = in
	}
}

// findSets adds the odd sets that growth from each end finds.
func (b *bounding) findSets() bool {
	b.forgetSets()
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

// addSet adds an odd set, unless it is there. It reports whether it is new.
func (b *bounding) addSet(ends []int32) bool {
	key := make([]byte, 0, 4*len(ends))
	for _, e := range ends {
		key = append(key, byte(e), byte(e>>8), byte(e>>16), byte(e>>24))
	}
	there, seen := b.known[string(key)]
	if len(ends) == 0 || there {
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
	b.sets = append(b.sets, &oddSet{key: string(key), most: float64(len(ends) / 2)})
	return !seen
}

// oddSet is an odd number of ends.
type oddSet struct {
	key   string
	most  float64 // ways among them
	price float64
	best  float64 // the price at the best bound
	has   float64 // ways of the last tree
}
