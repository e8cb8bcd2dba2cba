package order

import (
	"slices"

	"mahlstick/runner/plane"
)

const (
	nearEnds    = 8  // nearest ends that are tried for each end
	mostMoved   = 3  // most units in a stretch that is moved
	leastGain   = 1  // least saving for which the tour is changed, in grid steps
	shakeWindow = 50 // units within which one shake swaps

	// Most units moved by all changes together.
	mostWork = 2_000_000_000
	// Most shakes, per unit and in all.
	shakesPerUnit = 30
	mostShakes    = 30_000
	// A tour of more units is not shaken.
	mostShaken = 20_000
)

// search improves a tour by changes, each of which makes it shorter.
type search struct {
	tour      *tour
	near      []int32 // nearEnds per end, by number of the end; -1 if there are fewer
	queue     queue
	anyFixed  bool
	recording bool       // reversals are recorded in turns
	turns     [][2]int32 // stretches reversed, to be undone
	work      int64      // units moved
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
	if n < 2 {
		return
	}
	s := &search{tour: t, near: nearLists(t.ends), queue: queue{queued: make([]bool, n)}, anyFixed: slices.Contains(t.fixed, true)}
	for _, u := range t.order {
		s.queue.push(u)
	}
	s.settle()
	s.shake()
}

// pushAt queues the units at positions of the tour, if there are any.
func (s *search) pushAt(positions ...int) {
	for _, k := range positions {
		if k >= 0 && k < len(s.tour.order) {
			s.queue.push(s.tour.order[k])
		}
	}
}

// settle tries every queued unit until none of them allows an improvement. It
// returns how much shorter the tour has become, in grid steps.
func (s *search) settle() float64 {
	saved := 0.0
	for head := 0; head < len(s.queue.units); head++ {
		u := s.queue.units[head]
		s.queue.queued[u] = false
		for s.work < mostWork {
			by := s.change(u)
			if by == 0 {
				break
			}
			saved += by
		}
	}
	s.queue.units = s.queue.units[:0]
	return saved
}

// change makes one improvement near a unit and returns what it saves, 0 if there
// is none.
func (s *search) change(u int32) float64 {
	if by := s.turnHeadOrTail(u); by > 0 {
		return by
	}
	for end := range int32(2) {
		x, k := int(2*u+end), int(s.tour.pos[u])
		if (end == 1) == s.tour.flip[u] {
			k-- // the unit begins at this end
		}
		// Only a shorter way from this end than the present one is worth a try.
		now := s.tour.link(k)
		for _, y := range s.near[x*nearEnds : (x+1)*nearEnds] {
			if y < 0 || plane.Distance(s.tour.ends[u][end], s.tour.ends[y/2][y%2]) >= now {
				break
			}
			if by := s.turnTo(u, end, y); by > 0 {
				return by
			}
			if by := s.moveTo(u, end, y); by > 0 {
				return by
			}
		}
	}
	return 0
}

// turnHeadOrTail reverses everything from the unit to the end of the tour, everything
// from the start of the tour to the unit, or the unit alone, if that saves
// travel. It returns the saving.
func (s *search) turnHeadOrTail(u int32) float64 {
	i, n := int(s.tour.pos[u]), len(s.tour.order)
	if by := s.tour.savedByTurn(i, n-1); by > leastGain && s.tryReverse(i, n-1) {
		return by
	}
	if by := s.tour.savedByTurn(0, i); by > leastGain && s.tryReverse(0, i) {
		return by
	}
	if by := s.tour.savedByTurn(i, i); by > leastGain && s.tryReverse(i, i) {
		return by
	}
	return 0
}

// turnTo reverses a stretch so that an end of u meets the end y of another
// unit. uBegins and yBegins report that the units begin at these ends.
func (s *search) turnTo(u, end, y int32) float64 {
	i, j := int(s.tour.pos[u]), int(s.tour.pos[y/2])
	uBegins, yBegins := (end == 1) == s.tour.flip[u], (y%2 == 1) == s.tour.flip[y/2]
	if uBegins != yBegins {
		return 0
	}
	low, high := min(i, j), max(i, j)
	if uBegins {
		high-- // their beginnings meet: the later one stays
	} else {
		low++ // their ends meet: the earlier one stays
	}
	if by := s.tour.savedByTurn(low, high); by > leastGain && s.tryReverse(low, high) {
		return by
	}
	return 0
}

// tryReverse reverses the stretch from position i to position j, unless a unit
// in it is fixed.
func (s *search) tryReverse(i, j int) bool {
	if s.holdsFixed(i, j) {
		return false
	}
	s.reverse(i, j)
	s.pushAt(i-1, i, j, j+1)
	return true
}

// holdsFixed reports whether a unit from position i to position j must not be
// painted backwards.
func (s *search) holdsFixed(i, j int) bool {
	return s.anyFixed && slices.ContainsFunc(s.tour.order[i:j+1], func(u int32) bool { return s.tour.fixed[u] })
}

// reverse reverses the stretch from position i to position j.
func (s *search) reverse(i, j int) {
	if s.recording {
		s.turns = append(s.turns, [2]int32{int32(i), int32(j)})
	}
	s.work += int64(j - i + 1)
	for a, b := i, j; a <= b; a, b = a+1, b-1 {
		u, v := s.tour.order[a], s.tour.order[b]
		s.tour.order[a], s.tour.order[b] = v, u
		s.tour.pos[v], s.tour.pos[u] = int32(a), int32(b)
		s.tour.flip[u] = !s.tour.flip[u]
		if a != b {
			s.tour.flip[v] = !s.tour.flip[v]
		}
	}
}

// moveTo moves a short stretch that has u at its edge so that an end of u
// meets the end y of another unit. For uBegins and yBegins see turnTo.
func (s *search) moveTo(u, end, y int32) float64 {
	i, j := int(s.tour.pos[u]), int(s.tour.pos[y/2])
	uBegins, yBegins := (end == 1) == s.tour.flip[u], (y%2 == 1) == s.tour.flip[y/2]
	for length := range mostMoved {
		// The stretch from position a to position b; u is first if its beginning is
		// to meet y, else last.
		a, b := i-length, i
		if uBegins {
			a, b = i, i+length
		}
		if a < 0 || b >= len(s.tour.order) || j >= a && j <= b {
			return 0
		}
		// It goes between positions k and k+1, reversed if two beginnings or
		// two ends meet.
		k := j
		if yBegins {
			k = j - 1
		}
		if k == a-1 || k == b {
			continue
		}
		turned := uBegins == yBegins
		from, to := s.tour.in(a), s.tour.out(b)
		if turned {
			from, to = to, from
		}
		saved := s.tour.link(a-1) + s.tour.link(b) - s.tour.toIn(s.tour.out(a-1), b+1)
		saved -= plane.Distance(s.tour.out(k), from) + s.tour.toIn(to, k+1) - s.tour.link(k)
		if saved > leastGain && s.move(a, b, k, turned) {
			return saved
		}
	}
	return 0
}

// move takes the stretch from position a to position b and puts it after
// position k.
func (s *search) move(a, b, k int, turned bool) bool {
	if turned && s.holdsFixed(a, b) {
		return false
	}
	n := b - a + 1
	var at int // where the stretch is afterwards
	if k > b {
		s.swap(a, b, k)
		at = k - n + 1
	} else {
		s.swap(k+1, a-1, b)
		at = k + 1
	}
	if turned {
		s.reverse(at, at+n-1)
	}
	s.pushAt(at-1, at, at+n-1, at+n, a-1, a, b, b+1)
	return true
}

// swap exchanges the neighbouring stretches from position a to b and from b+1
// to c, by reversing the whole and then each part.
func (s *search) swap(a, b, c int) {
	s.reverse(a, c)
	middle := a + (c - b) // where the first stretch begins now
	s.reverse(a, middle-1)
	s.reverse(middle, c)
}

// shake swaps two neighbouring stretches at a random place, improves the tour
// around them, and undoes everything if the tour has not become shorter. The
// random numbers are always the same (linear congruential, multiplier and
// increment from D. E. Knuth's MMIX, from memory).
func (s *search) shake() {
	n := len(s.tour.order)
	if n < 4 || n > mostShaken {
		return
	}
	s.recording = true
	state := uint64(n)
	random := func(below int) int {
		state = state*6364136223846793005 + 1442695040888963407
		return int((state >> 33) % uint64(below))
	}
	for range min(shakesPerUnit*n, mostShakes) {
		if s.work >= mostWork {
			return
		}
		s.turns = s.turns[:0]
		size := min(shakeWindow, n)
		a := random(n - size + 1)
		cuts := []int{a + random(size), a + random(size), a + random(size)}
		slices.Sort(cuts)
		if cuts[0] == cuts[1] || cuts[1] == cuts[2] {
			continue
		}
		// The stretches cuts[0]..cuts[1]-1 and cuts[1]..cuts[2]-1.
		a, b, c := cuts[0], cuts[1]-1, cuts[2]-1
		before := s.tour.link(a-1) + s.tour.link(b) + s.tour.link(c)
		s.swap(a, b, c)
		b = a + (c - b) - 1 // the last position of the stretch that is first now
		saved := before - (s.tour.link(a-1) + s.tour.link(b) + s.tour.link(c))
		s.pushAt(a-1, a, b, b+1, c, c+1)
		if saved += s.settle(); saved < leastGain {
			s.recording = false
			for _, turn := range slices.Backward(s.turns) {
				s.reverse(int(turn[0]), int(turn[1]))
			}
			s.recording = true
		}
	}
}
