package order

import "mahlstick/runner/plane"

// passes is the share of its way, in percent, before which a stroke must meet
// another to pass through it; later, it ends there.
const passes = 85

// relation is how a glyph meets another.
type relation int8

const (
	apart relation = iota
	crosses
	goesBefore // crosses it, and is to be written before it
)

// crossings holds how a few glyphs meet, by their seats.
type crossings struct {
	n         int
	relations []relation
}

// crossingsOf gives the glyphs their seats and finds where they cross.
func crossingsOf(glyphs []*glyph, h hand) *crossings {
	c := &crossings{n: len(glyphs), relations: make([]relation, len(glyphs)*len(glyphs))}
	for i, a := range glyphs {
		a.seat = i
		for _, b := range glyphs[:i] {
			onA, onB, cross := meet(a, b)
			if !cross {
				continue
			}
			levelA, levelB := a.level(onA, h), b.level(onB, h)
			*c.of(a, b), *c.of(b, a) = crosses, crosses
			switch {
			case levelA && !levelB && b.passesAt(onB):
				*c.of(a, b) = goesBefore
			case levelB && !levelA && a.passesAt(onA):
				*c.of(b, a) = goesBefore
			}
		}
	}
	return c
}

// of is how a meets b.
func (c *crossings) of(a, b *glyph) *relation { return &c.relations[a.seat*c.n+b.seat] }

// between reports whether a glyph of one part crosses one of the other.
func (c *crossings) between(a, b []*glyph) bool {
	for _, g := range a {
		for _, h := range b {
			if *c.of(g, h) != apart {
				return true
			}
		}
	}
	return false
}

// meet finds the first chord of a that crosses one of b.
func meet(a, b *glyph) (onA, onB int, cross bool) {
	for axis := range 2 {
		if a.high[axis] < b.low[axis] || b.high[axis] < a.low[axis] {
			return 0, 0, false
		}
	}
	for i := 1; i < len(a.chords); i++ {
		for j := 1; j < len(b.chords); j++ {
			if crossed(a.chords[i-1], a.chords[i], b.chords[j-1], b.chords[j]) {
				return i, j, true
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

// level reports whether a stroke runs in the direction of writing at a chord.
func (g *glyph) level(chord int, h hand) bool {
	p, q := h.at(g.chords[chord-1]), h.at(g.chords[chord])
	run, fall := q[along]-p[along], q[down]-p[down]
	return 2*max(fall, -fall) < run
}

// passesAt reports whether a stroke goes on well beyond a chord.
func (g *glyph) passesAt(chord int) bool {
	return 100*(2*chord-1) < 2*passes*(len(g.chords)-1)
}
