package order

import "mahlstick/runner/plane"

// nearLists lists for each end the nearEnds nearest ends of other units, by
// distance and number; an end -1 stands for none.
func nearLists(ends [][2]plane.Point) []candidate {
	at := endPoints(ends)
	all := make([]int32, len(at))
	for e := range all {
		all[e] = int32(e)
	}
	g := newGrid(at, all)
	out := make([]candidate, len(at)*nearEnds)
	var best nearest
	for e := range at {
		best.find(g, int32(e))
		list := out[e*nearEnds : (e+1)*nearEnds]
		for k := range list {
			list[k].end = -1
			if k < best.n {
				list[k] = best.list[k]
			}
		}
	}
	return out
}

// nearest is a short list of ends, the nearest first.
type nearest struct {
	list [nearEnds]candidate
	n    int
}

type candidate struct {
	distance float64
	end      int32
}

func (c candidate) before(d candidate) bool {
	return c.distance < d.distance || c.distance == d.distance && c.end < d.end
}

// find fills the list with the ends of other units nearest to end e.
func (b *nearest) find(g *grid, e int32) {
	b.n = 0
	p := g.at[e]
	g.visit(p,
		func(reach float64) bool { return b.n < nearEnds || reach <= b.list[b.n-1].distance },
		func(cell []int32) {
			for _, other := range cell {
				if other/2 != e/2 {
					b.insert(candidate{plane.Distance(p, g.at[other]), other})
				}
			}
		})
}

// insert adds a candidate, unless the list is full of nearer ones.
func (b *nearest) insert(c candidate) {
	k := b.n
	for k > 0 && c.before(b.list[k-1]) {
		k--
	}
	if k == nearEnds {
		return
	}
	b.n = min(b.n+1, nearEnds)
	copy(b.list[k+1:b.n], b.list[k:])
	b.list[k] = c
}
