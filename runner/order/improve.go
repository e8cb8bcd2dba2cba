package order

import (
	"slices"

	"mahlstick/runner/plane"
)

const (
	nearEnds = 8  // near ends that are tried for each end
	longest  = 3  // units in a stretch that is moved
	gain     = 1  // grid steps that a change must save at least
	window   = 50 // units within which a tour is shaken

	// Units moved in all changes together, at most.
	mostWork = 2_000_000_000
	// Shakes: so many a unit, and so many in all.
	shakesPerUnit = 30
	mostShakes    = 30_000
	// Units above which a tour is not shaken.
	shakeable = 20_000
)

// search improves a tour.
type search struct {
	*tour
	near     []int32 // nearEnds a piece, by number of the end; -1 where there are fewer
	queue    []int32 // units whose surroundings changed
	queued   []bool
	anyFixed bool
	keeping  bool       // turns are kept, so that they can be taken back
	turns    [][2]int32 // stretches turned round
	work     int64      // units moved
}

func (t *tour) improve() {
	n := len(t.order)
	if n < 2 {
		return
	}
	s := &search{tour: t, queued: make([]bool, n), anyFixed: slices.Contains(t.fixed, true)}
	s.findNear()
	for _, u := range t.order {
		s.push(u)
	}
	s.settle()
	s.shake()
}

func (s *search) push(u int32) {
	if !s.queued[u] {
		s.queued[u] = true
		s.queue = append(s.queue, u)
	}
}

// pushAt queues the unit at place k, if there is one.
func (s *search) pushAt(k int) {
	if k >= 0 && k < len(s.order) {
		s.push(s.order[k])
	}
}

// settle tries every queued unit until none can be improved. It returns how
// much shorter the tour is, in grid steps.
func (s *search) settle() float64 {
	saved := 0.0
	for head := 0; head < len(s.queue); head++ {
		u := s.queue[head]
		s.queued[u] = false
		for s.work < mostWork {
			by := s.change(u)
			if by == 0 {
				break
			}
			saved += by
		}
	}
	s.queue = s.queue[:0]
	return saved
}

// change makes one improvement near a unit and returns what it saves, or 0.
func (s *search) change(u int32) float64 {
	if by := s.turnEnds(u); by > 0 {
		return by
	}
	for end := range int32(2) {
		x, k := int(2*u+end), int(s.pos[u])
		if (end == 1) == s.flip[u] {
			k-- // the unit begins at this end
		}
		// Only a shorter way from this end than the one now is worth a try.
		now := s.link(k)
		for _, y := range s.near[x*nearEnds : (x+1)*nearEnds] {
			if y < 0 || plane.Distance(s.ends[u][end], s.ends[y/2][y%2]) >= now {
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

// link is the travel between the units at places k and k+1.
func (s *search) link(k int) float64 {
	if k == len(s.order)-1 && !s.returns {
		return 0
	}
	return plane.Distance(s.out(k), s.in(k+1))
}

// toIn is the travel from p to the beginning of the unit at place k.
func (s *search) toIn(p plane.Point, k int) float64 {
	if k == len(s.order) && !s.returns {
		return 0
	}
	return plane.Distance(p, s.in(k))
}

// turnEnds turns round all from the unit to the end of the tour, or all from
// the tour's beginning to the unit.
func (s *search) turnEnds(u int32) float64 {
	i, n := int(s.pos[u]), len(s.order)
	if by := s.savedByTurn(i, n-1); by > gain && s.turn(i, n-1) {
		return by
	}
	if by := s.savedByTurn(0, i); by > gain && s.turn(0, i) {
		return by
	}
	if by := s.savedByTurn(i, i); by > gain && s.turn(i, i) {
		return by
	}
	return 0
}

func (s *search) savedByTurn(i, j int) float64 {
	return s.link(i-1) + s.link(j) - plane.Distance(s.out(i-1), s.out(j)) - s.toIn(s.in(i), j+1)
}

// turnTo turns a stretch so that an end of u meets the end y of another unit.
func (s *search) turnTo(u, end, y int32) float64 {
	i, j := int(s.pos[u]), int(s.pos[y/2])
	uIsIn, yIsIn := (end == 1) == s.flip[u], (y%2 == 1) == s.flip[y/2]
	if uIsIn != yIsIn {
		return 0
	}
	low, high := min(i, j), max(i, j)
	if uIsIn {
		high-- // their beginnings meet: the later one stays
	} else {
		low++ // their ends meet: the earlier one stays
	}
	if by := s.savedByTurn(low, high); by > gain && s.turn(low, high) {
		return by
	}
	return 0
}

// turn turns the stretch from place i to place j round, unless a unit
// in it must not be.
func (s *search) turn(i, j int) bool {
	if s.anyFixed {
		for _, u := range s.order[i : j+1] {
			if s.fixed[u] {
				return false
			}
		}
	}
	s.reverse(i, j)
	s.pushAt(i - 1)
	s.pushAt(i)
	s.pushAt(j)
	s.pushAt(j + 1)
	return true
}

// reverse turns the stretch from place i to place j round.
func (s *search) reverse(i, j int) {
	if s.keeping {
		s.turns = append(s.turns, [2]int32{int32(i), int32(j)})
	}
	s.work += int64(j - i + 1)
	for a, b := i, j; a <= b; a, b = a+1, b-1 {
		u, v := s.order[a], s.order[b]
		s.order[a], s.order[b] = v, u
		s.pos[v], s.pos[u] = int32(a), int32(b)
		s.flip[u] = !s.flip[u]
		if a != b {
			s.flip[v] = !s.flip[v]
		}
	}
}

// moveTo moves a short stretch that has u at its edge so that an end of u
// meets the end y of another unit.
func (s *search) moveTo(u, end, y int32) float64 {
	i, v := int(s.pos[u]), int(s.pos[y/2])
	uIsIn, yIsIn := (end == 1) == s.flip[u], (y%2 == 1) == s.flip[y/2]
	for length := range longest {
		// The stretch from place a to place b; u is first if its beginning is
		// to meet y, else last.
		a, b := i-length, i
		if uIsIn {
			a, b = i, i+length
		}
		if a < 0 || b >= len(s.order) || v >= a && v <= b {
			return 0
		}
		// It goes between places k and k+1, turned if two like ends meet.
		k := v
		if yIsIn {
			k = v - 1
		}
		if k == a-1 || k == b {
			continue
		}
		turned := uIsIn == yIsIn
		from, to := s.in(a), s.out(b)
		if turned {
			from, to = to, from
		}
		saved := s.link(a-1) + s.link(b) - s.toIn(s.out(a-1), b+1)
		saved -= plane.Distance(s.out(k), from) + s.toIn(to, k+1) - s.link(k)
		if saved > gain && s.move(a, b, k, turned) {
			return saved
		}
	}
	return 0
}

// move takes the stretch from place a to place b and puts it behind place k.
func (s *search) move(a, b, k int, turned bool) bool {
	if turned && s.anyFixed {
		for _, u := range s.order[a : b+1] {
			if s.fixed[u] {
				return false
			}
		}
	}
	n := b - a + 1
	var at int // where the stretch stands afterwards
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
	for _, p := range [...]int{at - 1, at, at + n - 1, at + n, a - 1, a, b, b + 1} {
		s.pushAt(p)
	}
	return true
}

// swap exchanges the neighbouring stretches from place a to b and from b+1 to
// c, by turning the whole and each part.
func (s *search) swap(a, b, c int) {
	s.reverse(a, c)
	middle := a + (c - b) // where the first stretch begins now
	s.reverse(a, middle-1)
	s.reverse(middle, c)
}

// findNear lists for each end the nearest ends of other units, by distance and
// number.
func (s *search) findNear() {
	at := make([]plane.Point, 2*len(s.ends))
	all := make([]int32, len(at))
	for u, ends := range s.ends {
		at[2*u], at[2*u+1] = ends[0], ends[1]
	}
	for e := range all {
		all[e] = int32(e)
	}
	g := newGrid(at, all)
	s.near = make([]int32, len(at)*nearEnds)
	type candidate struct {
		d float64
		e int32
	}
	var best [nearEnds]candidate
	for e, p := range at {
		n := 0
		g.visit(p,
			func(least float64) bool { return n < nearEnds || least <= best[n-1].d },
			func(cell []int32) {
				for _, other := range cell {
					if int(other)/2 == e/2 {
						continue
					}
					c := candidate{plane.Distance(p, at[other]), other}
					k := n
					for k > 0 && (c.d < best[k-1].d || c.d == best[k-1].d && c.e < best[k-1].e) {
						k--
					}
					if k == nearEnds {
						continue
					}
					n = min(n+1, nearEnds)
					copy(best[k+1:n], best[k:])
					best[k] = c
				}
			})
		list := s.near[e*nearEnds : (e+1)*nearEnds]
		for k := range list {
			list[k] = -1
			if k < n {
				list[k] = best[k].e
			}
		}
	}
}

// shake exchanges two neighbouring stretches somewhere, improves the tour
// around, and takes all back if it has not become shorter.
func (s *search) shake() {
	n := len(s.order)
	if n < 4 || n > shakeable {
		return
	}
	s.keeping = true
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
		size := min(window, n)
		a := random(n - size + 1)
		cuts := []int{a + random(size), a + random(size), a + random(size)}
		slices.Sort(cuts)
		if cuts[0] == cuts[1] || cuts[1] == cuts[2] {
			continue
		}
		// The stretches cuts[0]..cuts[1]-1 and cuts[1]..cuts[2]-1.
		a, b, c := cuts[0], cuts[1]-1, cuts[2]-1
		before := s.link(a-1) + s.link(b) + s.link(c)
		s.swap(a, b, c)
		b = a + (c - b) - 1
		saved := before - (s.link(a-1) + s.link(b) + s.link(c))
		for _, k := range [...]int{a - 1, a, b, b + 1, c, c + 1} {
			s.pushAt(k)
		}
		if saved += s.settle(); saved < gain {
			s.keeping = false
			for _, turn := range slices.Backward(s.turns) {
				s.reverse(int(turn[0]), int(turn[1]))
			}
			s.keeping = true
		}
	}
}
