package joining

import "math"

// splicer makes longer chains of those that were joined over gaps.
type splicer struct {
	j            *joiner
	ends         []looseEnd
	heads, tails []int32 // by chain: the loose end that its head and its tail join, or -1
	old          []chain
	oldRuns      []int32
	seen         []bool  // by old chain
	where        []int32 // by old chain: the new one
	flipped      []bool  // by old chain: it runs the other way in the new one
	out          []chain
}

func newSplicer(j *joiner, ends []looseEnd) *splicer {
	n := len(j.chains)
	s := &splicer{
		j: j, ends: ends, heads: make([]int32, n), tails: make([]int32, n),
		// The ends go on pointing to the old chains until all is done, so the old
		// runs stay and new ones are added.
		old: j.chains, oldRuns: j.runs,
		seen: make([]bool, n), where: make([]int32, n), flipped: make([]bool, n),
	}
	for i := range n {
		s.heads[i], s.tails[i] = -1, -1
	}
	for _, e := range ends {
		if e.pair >= 0 && e.tail {
			s.tails[e.chain] = e.pair
		} else if e.pair >= 0 {
			s.heads[e.chain] = e.pair
		}
	}
	return s
}

func (s *splicer) splice() {
	for i := range int32(len(s.old)) {
		if !s.seen[i] {
			s.out = append(s.out, s.longer(i))
		}
	}
	s.j.chains = s.out
	for i := range s.ends {
		e := &s.ends[i]
		e.tail = e.tail != s.flipped[e.chain]
		e.chain = s.where[e.chain]
	}
}

// before and after are the loose ends that a chain joins where it begins and
// where it stops, gone through backwards or not; -1 for none.
func (s *splicer) before(chain int32, back bool) int32 { return s.after(chain, !back) }

func (s *splicer) after(chain int32, back bool) int32 {
	if back {
		return s.heads[chain]
	}
	return s.tails[chain]
}

// beginning goes back from a chain to the first one of those joined to it, or
// once round.
func (s *splicer) beginning(i int32) (at int32, back, closed bool) {
	at = i
	for {
		next := s.before(at, back)
		if next < 0 {
			return at, back, false
		}
		e := s.ends[next]
		at, back = e.chain, !e.tail
		if at == i {
			return i, false, true
		}
	}
}

// longer joins all chains that hang together with one.
func (s *splicer) longer(i int32) chain {
	at, back, closed := s.beginning(i)
	ch := chain{from: int32(len(s.j.runs)), lowest: math.MaxInt32, closed: closed || s.old[i].closed}
	for {
		s.seen[at] = true
		s.where[at], s.flipped[at] = int32(len(s.out)), back
		ch.lowest = min(ch.lowest, s.old[at].lowest)
		s.addRun(&s.old[at], back)
		next := s.after(at, back)
		if next < 0 || s.seen[s.ends[next].chain] {
			break
		}
		at, back = s.ends[next].chain, s.ends[next].tail
	}
	ch.to = int32(len(s.j.runs))
	return ch
}

func (s *splicer) addRun(old *chain, back bool) {
	run := s.oldRuns[old.from:old.to]
	if !back {
		s.j.runs = append(s.j.runs, run...)
		return
	}
	for k := len(run) - 1; k >= 0; k-- {
		s.j.runs = append(s.j.runs, run[k]^1)
	}
}
