package order

import (
	"slices"

	"mahlstick/runner/plane"
)

const (
	nearEnds    = 12 // nearest ends that are tried for each end
	leastGain   = 1  // least saving for which the tour is changed, in grid steps
	shakeWindow = 50 // units within which one shake swaps

	// Most units that one change moves.
	mostSpan = 30_000
	// Most work of all changes together, and of the shakes for each unit and in all.
	// A unit moved or a pair of ends compared counts one.
	mostWork       = 1_000_000_000
	shakingPerUnit = 30_000
	mostShaking    = 40_000_000
)

// breadth is how many near ends are tried at each depth of a chain of exchanges.
var breadth = [...]int{12, 6, 3, 1}

// The brush comes from the place where the tour starts, and goes home there: two
// ends of no unit.
const (
	startEnd int32 = -1
	homeEnd  int32 = -2
)

// search improves a tour by changes, each of which makes it shorter.
type search struct {
	tour     *tour
	near     []candidate // nearEnds per end, by number of the end; end -1 if there are fewer
	queue    queue
	anyFixed bool
	work     int64
	chain    []int32 // ends of the travels that are given up, in pairs
	change   change
	log      log
}

// queue holds the units whose surroundings have changed, each once.
type queue struct {
	units  []int32
	queued []bool
}

func (q *queue) push(u int32) {
	if !q.queued[u] {
		q.queued[u] = true
		q.units = append(q.units, u)
	}
}

func improve(t *tour) {
	n := len(t.order)
	if n == 0 {
		return
	}
	s := newSearch(t)
	s.settleAll()
	if n > mostWhole {
		shakeInParts(s)
		return
	}
	s.shake(min(shakingPerUnit*int64(n), mostShaking, mostWork-s.work))
}

func newSearch(t *tour) *search {
	return &search{tour: t, near: nearLists(t.ends), queue: queue{queued: make([]bool, len(t.order))}, anyFixed: slices.Contains(t.fixed, true)}
}

// settleAll tries all units.
func (s *search) settleAll() {
	for _, u := range s.tour.order {
		s.queue.push(u)
	}
	s.settle()
}

// settle tries every queued unit until none of them allows an improvement. It
// returns how much shorter the tour has become, in grid steps.
func (s *search) settle() float64 {
	saved := 0.0
	for head := 0; head < len(s.queue.units); head++ {
		u := s.queue.units[head]
		s.queue.queued[u] = false
		for s.work < mostWork {
			by := s.improveAt(u)
			if by == 0 {
				break
			}
			saved += by
		}
	}
	s.queue.units = s.queue.units[:0]
	return saved
}

// improveAt makes one improvement at a unit and returns what it saves, 0 if there
// is none.
func (s *search) improveAt(u int32) float64 {
	if by := s.turnAlone(u); by > 0 {
		return by
	}
	for end := range int32(2) {
		e := 2*u + end
		s.chain = append(s.chain[:0], s.partner(e), e)
		if by := s.exchange(s.tour.link(s.linkAt(e))); by > 0 {
			return by
		}
	}
	return 0
}

// begins reports whether the brush comes to that end of a unit, and does not
// leave from it.
func (s *search) begins(e int32) bool {
	return e == homeEnd || e >= 0 && (e%2 == 1) == s.tour.flip[e/2]
}

// linkAt is the position before the travel at an end.
func (s *search) linkAt(e int32) int {
	switch e {
	case startEnd:
		return -1
	case homeEnd:
		return len(s.tour.order) - 1
	}
	k := int(s.tour.pos[e/2])
	if s.begins(e) {
		k--
	}
	return k
}

// partner is the end to which the brush travels from an end, or from which it
// comes.
func (s *search) partner(e int32) int32 {
	k, begins := s.linkAt(e), s.begins(e)
	if !begins {
		k++
	}
	if k < 0 {
		return startEnd
	}
	if k == len(s.tour.order) {
		return homeEnd
	}
	u := s.tour.order[k]
	// The other unit ends where this one begins.
	if s.tour.flip[u] == begins {
		return 2 * u
	}
	return 2*u + 1
}

// distance is the travel between two ends. Of a unit with exits of its own it is
// that between first or last points.
func (s *search) distance(e, f int32) float64 {
	if e < 0 {
		e, f = f, e
	}
	switch {
	case f >= 0:
		return plane.Distance(s.tour.ends[e/2][e%2], s.tour.ends[f/2][f%2])
	case e < 0 || f == homeEnd && !s.tour.returns:
		return 0
	}
	if f == homeEnd {
		return plane.Distance(s.tour.ends[e/2][e%2], s.tour.home)
	}
	return plane.Distance(s.tour.ends[e/2][e%2], s.tour.start)
}

// exchange goes on with a chain of exchanges: the last end of the chain is joined
// with a near one, whose travel is given up, so that its partner is the last end.
// The chain ends where joining that with the first end gives one tour that is
// shorter: then it makes it and returns the saving, else 0. open is what the
// travels given up are longer than those won. (S. Lin, B. W. Kernighan, Operations Research 21, 1973,
// 498-516, with chains that are tried on paper, of up to five exchanges.)
func (s *search) exchange(open float64) float64 {
	depth := len(s.chain)/2 - 1
	last := s.chain[len(s.chain)-1]
	if last < 0 {
		return 0
	}
	tried := 0
	for _, near := range s.near[int(last)*nearEnds : (int(last)+1)*nearEnds] {
		s.work++
		c, left := near.end, open-near.distance
		if c < 0 || tried == breadth[depth] || left <= leastGain {
			break
		}
		if slices.Contains(s.chain, c) {
			continue
		}
		tried++
		d := s.partner(c)
		s.chain = append(s.chain, c, d)
		score := left + s.tour.link(s.linkAt(c))
		if score-s.distance(d, s.chain[0]) > leastGain {
			if by := s.close(); by > 0 {
				return by
			}
		}
		if depth+1 < len(breadth) {
			if by := s.exchange(score); by > 0 {
				return by
			}
		}
		s.chain = s.chain[:len(s.chain)-2]
	}
	return 0
}

// close makes the change of the chain, if it gives one tour, and a shorter one.
// It returns the saving, or 0.
func (s *search) close() float64 {
	c := &s.change
	c.begin()
	for i := 0; i < len(s.chain); i += 2 {
		c.links = append(c.links, s.linkAt(s.chain[i+1]))
	}
	slices.Sort(c.links)
	port := func(e int32) int {
		at, _ := slices.BinarySearch(c.links, s.linkAt(e))
		if s.begins(e) {
			return 2*at + 1
		}
		return 2 * at
	}
	n := len(s.chain)
	for i := 1; i < n; i += 2 {
		c.join(port(s.chain[i]), port(s.chain[(i+1)%n]))
	}
	if !c.follow() {
		return 0
	}
	saved := s.saved()
	if saved <= leastGain {
		return 0
	}
	for _, e := range s.chain {
		if e >= 0 {
			s.queue.push(e / 2)
		}
	}
	s.apply()
	return saved
}

// saved is what the change saves; 0 if it may not be made.
func (s *search) saved() float64 {
	c, t := &s.change, s.tour
	if first, end := c.links[0]+1, c.links[len(c.links)-1]; end-first >= mostSpan {
		return 0
	}
	saved := 0.0
	for _, k := range c.links {
		saved += t.link(k)
	}
	at := t.out(c.links[0])
	for _, p := range c.pieces {
		if !p.turned {
			saved -= plane.Distance(at, t.in(p.from))
			at = t.out(p.to)
			continue
		}
		if s.anyFixed {
			s.work += int64(p.to - p.from)
			if slices.ContainsFunc(t.order[p.from:p.to+1], func(u int32) bool { return t.fixed[u] }) {
				return 0
			}
		}
		saved += t.savedInside(p.from, p.to) - plane.Distance(at, t.turnedIn(p.to))
		at = t.turnedOut(p.from)
	}
	return saved - t.toIn(at, c.links[len(c.links)-1]+1)
}

// turnAlone turns one unit if that saves travel, and in a tour that does not
// return, also everything from it to the end.
func (s *search) turnAlone(u int32) float64 {
	i, n := int(s.tour.pos[u]), len(s.tour.order)
	if by := s.turn(i, i); by > 0 || s.tour.returns {
		return by
	}
	return s.turn(i, n-1)
}

// turn turns a stretch if that saves travel.
func (s *search) turn(i, j int) float64 {
	s.change.begin()
	s.change.links = append(s.change.links, i-1, j)
	s.change.pieces = append(s.change.pieces, piece{i, j, true})
	saved := s.saved()
	if saved <= leastGain {
		return 0
	}
	for _, k := range [...]int{i - 1, i, j, j + 1} {
		s.pushAt(k)
	}
	s.apply()
	return saved
}

// pushAt queues the unit at a position of the tour, if there is one.
func (s *search) pushAt(k int) {
	if k >= 0 && k < len(s.tour.order) {
		s.queue.push(s.tour.order[k])
	}
}

// shake reverses the order of three neighbouring stretches at a random place, improves
// the tour around them, and undoes everything if the tour has not become shorter,
// until so much work is done. The random numbers are always the same (linear
// congruential, multiplier and increment from D. E. Knuth's MMIX, from memory).
func (s *search) shake(work int64) {
	n := len(s.tour.order)
	if n < 4 {
		return
	}
	state := uint64(n)
	random := func(below int) int {
		state = state*6364136223846793005 + 1442695040888963407
		return int((state >> 33) % uint64(below))
	}
	s.log.on = true
	most := s.work + work
	for s.work < most {
		s.work += shakeWindow
		size := min(shakeWindow, n)
		a := random(n - size + 1)
		cuts := [...]int{a + random(size), a + random(size), a + random(size), a + random(size)}
		slices.Sort(cuts[:])
		if cuts[0] == cuts[1] || cuts[1] == cuts[2] || cuts[2] == cuts[3] {
			continue
		}
		s.log.forget()
		s.change.begin()
		for _, k := range cuts {
			s.change.links = append(s.change.links, k-1)
		}
		for k := len(cuts) - 2; k >= 0; k-- {
			s.change.pieces = append(s.change.pieces, piece{cuts[k], cuts[k+1] - 1, false})
		}
		saved := s.saved()
		for _, k := range cuts {
			s.pushAt(k - 1)
			s.pushAt(k)
		}
		s.apply()
		if saved += s.settle(); saved < leastGain {
			s.log.undo(s.tour)
		}
	}
}
