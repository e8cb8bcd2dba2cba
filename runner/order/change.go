package order

// change is a new order of a stretch of a tour: the travels after some positions are
// given up, and the pieces between them come in another order, some of them turned.
type change struct {
	links  []int   // positions, in order
	mates  []int   // what a port is joined with; port 2i is before link i, 2i+1 after it
	pieces []piece // in their new order
}

// piece is the units from one position to another.
type piece struct {
	from, to int
	turned   bool
}

func (c *change) begin() {
	c.links, c.mates, c.pieces = c.links[:0], c.mates[:0], c.pieces[:0]
}

func (c *change) join(p, q int) {
	for len(c.mates) < 2*len(c.links) {
		c.mates = append(c.mates, -1)
	}
	c.mates[p], c.mates[q] = q, p
}

// follow finds the pieces in their new order. It reports false if what is joined is
// not one tour.
func (c *change) follow() bool {
	end := 2*len(c.links) - 1
	for at := c.mates[0]; at != end; {
		if len(c.pieces) == len(c.links)-1 {
			return false
		}
		if at%2 == 1 { // the beginning of a piece
			i := at / 2
			c.pieces = append(c.pieces, piece{c.links[i] + 1, c.links[i+1], false})
			at = c.mates[at+1]
			continue
		}
		i := at / 2
		if i == 0 {
			return false
		}
		c.pieces = append(c.pieces, piece{c.links[i-1] + 1, c.links[i], true})
		at = c.mates[at-1]
	}
	return len(c.pieces) == len(c.links)-1
}

// apply makes the change.
func (s *search) apply() {
	c, t := &s.change, s.tour
	first, end := c.links[0]+1, c.links[len(c.links)-1]+1
	s.work += int64(end - first)
	was := s.log.keep(t, first, end)
	k := first
	for _, p := range c.pieces {
		piece := was[p.from-first : p.to+1-first]
		for i := range piece {
			e := piece[i]
			if p.turned {
				e = piece[len(piece)-1-i] ^ 1
			}
			u := e / 2
			t.order[k], t.pos[u], t.flip[u] = u, int32(k), e%2 == 1
			k++
		}
	}
}

// log is what the tour was before changes: the ends with which the units of
// stretches began.
type log struct {
	on        bool // changes are kept, to be undone
	ends      []int32
	stretches [][2]int // first position, and where its ends begin
}

// keep notes a stretch of the tour. The result holds until the next call.
func (l *log) keep(t *tour, first, end int) []int32 {
	if !l.on {
		l.forget()
	}
	at := len(l.ends)
	for _, u := range t.order[first:end] {
		e := 2 * u
		if t.flip[u] {
			e++
		}
		l.ends = append(l.ends, e)
	}
	l.stretches = append(l.stretches, [2]int{first, at})
	return l.ends[at:]
}

func (l *log) forget() { l.ends, l.stretches = l.ends[:0], l.stretches[:0] }

// undo undoes all changes that were kept.
func (l *log) undo(t *tour) {
	for len(l.stretches) > 0 {
		last := l.stretches[len(l.stretches)-1]
		for i, e := range l.ends[last[1]:] {
			u, k := e/2, last[0]+i
			t.order[k], t.pos[u], t.flip[u] = u, int32(k), e%2 == 1
		}
		l.ends, l.stretches = l.ends[:last[1]], l.stretches[:len(l.stretches)-1]
	}
}
