package order

import "mahlstick/runner/plane"

// passes is the share of its way, in percent, before which a stroke must meet
// another to pass it; later, it ends there.
const passes = 85

// crossings holds which of a few glyphs cross, by their seats.
type crossings struct {
	n int
	// where is, for a pair of glyphs, the share of the first one's way at which it
	// crosses the second, in percent; 0 if it does not.
	where []int8
}

// crossingsOf gives the glyphs their seats and finds where they cross.
func crossingsOf(glyphs []*glyph) *crossings {
	c := &crossings{n: len(glyphs), where: make([]int8, len(glyphs)*len(glyphs))}
	for i := range glyphs {
		glyphs[i].seat = i
		for j := range i {
			a, b, cross := meet(glyphs[i], glyphs[j])
			if cross {
				c.where[i*c.n+j], c.where[j*c.n+i] = a, b
			}
		}
	}
	return c
}

// meet finds the first place on a's way where it crosses b, in percent of the
// chords of both.
func meet(a, b *glyph) (onA, onB int8, cross bool) {
	for axis := range 2 {
		if a.high[axis] < b.low[axis] || b.high[axis] < a.low[axis] {
			return 0, 0, false
		}
	}
	percent := func(k int, g *glyph) int8 { return int8((100*k + 50) / (len(g.chords) - 1)) }
	for i := 1; i < len(a.chords); i++ {
		for j := 1; j < len(b.chords); j++ {
			if crossed(a.chords[i-1], a.chords[i], b.chords[j-1], b.chords[j]) {
				return percent(i-1, a), percent(j-1, b), true
			}
		}
	}
	return 0, 0, false
}

// crossed reports whether two chords cross within both.
func crossed(p, q, r, s plane.Point) bool {
	a, b := plane.Turn(p, q, r), plane.Turn(p, q, s)
	c, d := plane.Turn(r, s, p), plane.Turn(r, s, q)
	return (a < 0) != (b < 0) && a != 0 && b != 0 && (c < 0) != (d < 0) && c != 0 && d != 0
}

// between reports whether a glyph of one part crosses one of the other.
func (c *crossings) between(a, b []*glyph) bool {
	for i := range a {
		for j := range b {
			if c.where[a[i].seat*c.n+b[j].seat] > 0 {
				return true
			}
		}
	}
	return false
}

// before reports whether a has to be written before b because of how they cross:
// a level stroke before one that passes through it.
func (c *crossings) before(a, b *glyph) bool {
	at := c.where[b.seat*c.n+a.seat]
	return at > 0 && at < passes && a.level() && !b.level()
}
