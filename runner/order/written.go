package order

import (
	"cmp"
	"slices"

	"mahlstick/runner/plane"
)

// The order of writing: what lies apart is written part by part, rows from above
// and in a row from left to right; what belongs together is written from its upper
// left, and a stroke that runs level where another passes down through it before
// that one (common practice, no source). The numbers below and in parting.go were
// chosen with 599 published characters; .ci/written measures on others how often
// they hold.
const (
	// A part of at most so many units is looked at pair by pair.
	fewUnits = 48
	// Strokes whose keys differ by less than one part in so many of the side of
	// their part come in the order of the shorter travel.
	sameKey = 32
	// How deep parts may lie within parts.
	mostParting = 64
	// How many chords stand for a path where it is looked at roughly.
	mostChords = 16
)

// The axes of what is written.
const (
	along = iota // in the direction of writing
	down
)

// glyph is a unit under the eye of a hand, in grid steps along and down.
type glyph struct {
	low, high  [2]int64
	start, end [2]int64
	chords     []plane.Point // its path, roughly
	unit       int           // its number in the list of units
	seat       int           // its number in a part that is looked at pair by pair
}

func glyphOf(u *unit, number int, h hand) *glyph {
	g := &glyph{unit: number}
	g.start, g.end = h.at(u.first()), h.at(u.last())
	g.low, g.high = g.start, g.start
	for _, b := range u.body {
		for _, p := range b.Points {
			q := h.at(p.Plane())
			for axis := range 2 {
				g.low[axis], g.high[axis] = min(g.low[axis], q[axis]), max(g.high[axis], q[axis])
			}
		}
	}
	points := u.body[0].Points
	n := min(len(points)-1, mostChords)
	for k := range n + 1 {
		g.chords = append(g.chords, points[k*(len(points)-1)/max(n, 1)].Plane())
	}
	return g
}

// middle is twice the middle on an axis.
func (g *glyph) middle(axis int) int64 { return g.low[axis] + g.high[axis] }

// key grows from the upper left to the lower right: where the stroke begins and
// where its middle is, four times.
func (g *glyph) key() int64 {
	return 2*g.start[along] + g.middle(along) + 2*g.start[down] + g.middle(down)
}

// side is the larger side of the box around glyphs.
func side(glyphs []*glyph) int64 {
	low, high := glyphs[0].low, glyphs[0].high
	for _, g := range glyphs {
		for axis := range 2 {
			low[axis], high[axis] = min(low[axis], g.low[axis]), max(high[axis], g.high[axis])
		}
	}
	return max(high[along]-low[along], high[down]-low[down])
}

// written puts the units in the order in which a hand writes them.
func written(units []unit, h hand) []unit {
	glyphs := make([]*glyph, len(units))
	for i := range units {
		glyphs[i] = glyphOf(&units[i], i, h)
	}
	w := writer{hand: h, out: make([]int, 0, len(units))}
	w.part(glyphs, nil, 0)
	out := make([]unit, len(units))
	for k, i := range w.out {
		out[k] = units[i]
	}
	return out
}

// writer lists units in the order of writing.
type writer struct {
	hand hand
	out  []int
	at   [2]int64 // where the last one ends
}

func (w *writer) write(g *glyph) {
	w.out, w.at = append(w.out, g.unit), g.end
}

// part writes glyphs part by part. Where they are few, c says which of them
// cross; it is nil until then.
func (w *writer) part(glyphs []*glyph, c *crossings, depth int) {
	if len(glyphs) == 0 {
		return
	}
	if c == nil && len(glyphs) <= fewUnits {
		c = crossingsOf(glyphs, w.hand)
	}
	var cuts []int
	if len(glyphs) > 1 && depth < mostParting {
		cuts = parting(glyphs, c)
	}
	if len(cuts) == 0 {
		w.together(glyphs, c)
		return
	}
	from := 0
	for _, to := range append(cuts, len(glyphs)) {
		w.part(glyphs[from:to], c, depth+1)
		from = to
	}
}

// together writes glyphs that lie in one another from their upper left.
func (w *writer) together(glyphs []*glyph, c *crossings) {
	slices.SortFunc(glyphs, func(a, b *glyph) int {
		return cmp.Or(cmp.Compare(a.key(), b.key()), cmp.Compare(a.unit, b.unit))
	})
	if c == nil {
		for _, g := range glyphs {
			w.write(g)
		}
		return
	}
	slack := int64(0) // a part begins at its upper left, wherever the brush is
	for left := glyphs; len(left) > 0; slack = 4 * side(glyphs) / sameKey {
		i := w.next(left, c, slack)
		g := left[i]
		copy(left[1:i+1], left[:i])
		left[0] = g
		w.write(g)
		left = left[1:]
	}
}

// next chooses among glyphs, in the order of their keys, the one to be written
// first: of those that wait for no other the one with the least key, or one with
// hardly a greater key that begins nearer to where the brush is.
func (w *writer) next(left []*glyph, c *crossings, slack int64) int {
	best, least := -1, int64(0)
	for i := range left {
		if best >= 0 && left[i].key() > least+slack {
			break
		}
		if slices.ContainsFunc(left, func(other *glyph) bool { return *c.of(other, left[i]) == goesBefore }) {
			continue
		}
		if best < 0 {
			best, least = i, left[i].key()
		} else if away(w.at, left[i].start) < away(w.at, left[best].start) {
			best = i
		}
	}
	return max(best, 0) // where all wait for each other, the first
}

// away is the square of a distance.
func away(p, q [2]int64) int64 {
	dx, dy := p[0]-q[0], p[1]-q[1]
	return dx*dx + dy*dy
}
