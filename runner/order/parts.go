package order

import (
	"runtime"
	"slices"
	"sync"
)

const (
	mostWhole = 4000 // tours of more units are shaken in parts
	partUnits = 5000 // most units of a part, if there are more than two
	// Work of the shakes for each unit, and the least and most in all.
	partsPerUnit   = 2000
	leastPartsWork = 20_000_000
	mostPartsWork  = 40_000_000
)

// shakeInParts shakes two or more parts of a tour side by side, each from where the
// brush comes from to where it goes on, and then improves the whole; and once more
// with parts that begin in the middle of those before. Which parts there are depends
// on the number of units alone, so any number of cores comes to the same tour.
func shakeInParts(s *search) {
	n := len(s.tour.order)
	parts, work := max(2, (n+partUnits-1)/partUnits), min(max(partsPerUnit*int64(n), leastPartsWork), mostPartsWork)
	for halves := range 2 {
		shakeBetween(s.tour, work/2, evenCuts(n, parts, halves))
		s.settleAll()
	}
}

// evenCuts parts n units evenly, or halves ahead: it gives where each part ends.
func evenCuts(n, parts, halves int) []int {
	var cuts []int
	for k := range parts {
		if at := n * (2*k + halves) / (2 * parts); at > 0 {
			cuts = append(cuts, at)
		}
	}
	return append(cuts, n)
}

// shakeBetween shakes the parts that end before the given positions, as many at a
// time as there are cores.
func shakeBetween(t *tour, work int64, cuts []int) {
	parts := make([]*tour, len(cuts))
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	var running sync.WaitGroup
	from := 0
	for i, to := range cuts {
		part := t.part(from, to)
		parts[i], from = part, to
		running.Go(func() {
			free <- struct{}{}
			newSearch(part).shake(work * int64(len(part.order)) / int64(len(t.order)))
			<-free
		})
	}
	running.Wait()
	from = 0
	for i, part := range parts {
		t.replace(from, part)
		from = cuts[i]
	}
}

// part is the tour from one position to before another, as a tour of its own.
func (t *tour) part(from, to int) *tour {
	p := &tour{start: t.out(from - 1), home: t.in(to), returns: to < len(t.order) || t.returns}
	for k, u := range t.order[from:to] {
		p.ends, p.fixed = append(p.ends, t.ends[u]), append(p.fixed, t.fixed[u])
		if t.exits != nil {
			p.exits, p.inside = append(p.exits, t.exits[u]), append(p.inside, t.inside[u])
		}
		p.order, p.pos, p.flip = append(p.order, int32(k)), append(p.pos, int32(k)), append(p.flip, t.flip[u])
	}
	return p
}

// replace puts the units from a position on into the order of a part.
func (t *tour) replace(from int, p *tour) {
	was := slices.Clone(t.order[from : from+len(p.order)])
	for k, i := range p.order {
		u := was[i]
		t.order[from+k], t.pos[u], t.flip[u] = u, int32(from+k), p.flip[i]
	}
}
