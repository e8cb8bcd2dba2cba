package proof

import (
	"math"
	"slices"
	"strconv"
)

// Stroke is one contact of the brush with the paper, from press to lift.
type Stroke struct {
	Number              int // from 1
	FirstLine, LastLine int
	// StartLine is the line from which the program can be continued with this
	// stroke, after its modes are set and the brush is lifted: the last line
	// before the stroke that has its own motion word, X and Y, if F follows
	// before the first move at a feed. 0 if there is none.
	StartLine         int
	From, To          Point
	Length            float64 // of the mark, seen from above, mm
	Starts            float64 // s after the start of the program
	Seconds           float64
	Deepest           float64 // lowest Z, mm
	Narrowest, Widest float64 // of the mark, mm; 0 without a brush
	Plunge            float64 // longest press straight down, without a move in X or Y, mm
	Steepest          float64 // greatest growth of press per mm of path along X and Y, mm
	Box               Rect    // of the mark; of the path of the tip without a brush
}

// FeedUse is how much of the path has one feed.
type FeedUse struct {
	Feed   float64 // mm/min
	Moves  int
	Length float64 // mm along the path
}

// Measures are the measurements of a path.
type Measures struct {
	Strokes []Stroke
	Painted float64 // length in contact, seen from above, mm
	Travel  float64 // length lifted, along the path in space, mm
	Rapid   float64 // length of all rapids, mm
	Fed     float64 // length of all feed moves, mm
	Seconds float64 // without the pauses
	Waiting float64 // s of that in dwells
	Contact float64 // s of that in contact
	Across  float64 // s of that in lifted moves that go across
	Upright float64 // s of that in lifted moves straight down and up
	Pauses  int
	Lowest  float64 // lowest Z, mm, without that of visits to wells
	Visits  []Span  // to wells, with what is done on scrap
	Waits   []Span  // above the paper, until something is dry
	Box     Box     // of the whole path
	Marks   Rect    // around all marks
	Feeds   []FeedUse
	// Narrowest and Widest are the widths of all marks, mm; 0 without a brush.
	Narrowest, Widest float64
}

// Measure measures a path. The brush may be nil.
func Measure(p *Path, t Timing, brush *Brush) Measures {
	m := measuring{path: p, brush: brush, seconds: asWritten(p).Seconds(t)}
	m.moves()
	m.visits()
	m.restarts()
	p.marks(brush, false, m.segment)
	m.Travel, m.Across, m.Upright = max(0, m.Travel), max(0, m.Across), max(0, m.Upright)
	m.widths()
	m.plunges()
	return m.Measures
}

// measuring is a measurement in progress.
type measuring struct {
	Measures
	path    *Path
	brush   *Brush
	seconds []float64 // of each move
	starts  []float64 // s after the start of the program, of each move
	restart []int     // StartLine of a stroke that begins in each move
}

// moves measures everything that does not depend on contact.
func (m *measuring) moves() {
	m.starts = make([]float64, len(m.seconds))
	feeds := map[float64]int{}
	lowest := math.Inf(1)
	for i := range m.path.Moves {
		move := &m.path.Moves[i]
		m.starts[i] = m.Seconds
		m.Seconds += m.seconds[i]
		switch move.Kind {
		case Dwell:
			m.Waiting += m.seconds[i]
			continue
		case Pause:
			m.Pauses++
			continue
		}
		length := move.Length()
		m.Travel += length
		*m.lifted(move) += m.seconds[i]
		extent := move.Extent()
		m.Box.spread(extent.Min, i == 0)
		m.Box.spread(extent.Max, false)
		if !move.Visit {
			lowest = min(lowest, extent.Min.Z)
		}
		if move.Kind == Rapid {
			m.Rapid += length
			continue
		}
		m.Fed += length
		k, ok := feeds[move.Feed]
		if !ok {
			k = len(m.Feeds)
			feeds[move.Feed] = k
			m.Feeds = append(m.Feeds, FeedUse{Feed: move.Feed})
		}
		m.Feeds[k].Moves++
		m.Feeds[k].Length += length
	}
	slices.SortFunc(m.Feeds, func(a, b FeedUse) int {
		if a.Feed < b.Feed {
			return -1
		}
		return 1
	})
	if !math.IsInf(lowest, 1) {
		m.Lowest = lowest
	}
}

// lifted is the time that a move adds to while it is not in contact.
func (m *measuring) lifted(move *Move) *float64 {
	if move.across() {
		return &m.Across
	}
	return &m.Upright
}

// restarts finds for each move the line from which the program can be
// continued.
func (m *measuring) restarts() {
	m.restart = make([]int, len(m.seconds))
	line, feed := 0, false
	for i := range m.path.Moves {
		move := &m.path.Moves[i]
		lifted := move.From.Z > 0 && move.To.Z > 0
		switch {
		case move.Kind == Pause:
			line = 0 // the operator may move the axes by hand
		case move.Kind == Dwell:
		case lifted && move.OwnMotion && move.Stated&(X|Y) == X|Y:
			line, feed = move.Line, move.OwnFeed
		case move.OwnFeed:
			feed = true
		case move.Kind != Rapid && !feed:
			line = 0
		}
		m.restart[i] = line
	}
}

// segment adds a segment in contact to its stroke and to the sums.
func (m *measuring) segment(c segment) {
	move := &m.path.Moves[c.move]
	seconds := float64(m.seconds[c.move] * c.share)
	m.Travel -= float64(move.Length() * c.share)
	m.Painted += c.length
	m.Contact += seconds
	*m.lifted(move) -= seconds
	if c.begins {
		before := 0.0 // s from the start of the move to the contact
		if c.from != move.From {
			before = float64(m.seconds[c.move] * (1 - c.share))
		}
		m.Strokes = append(m.Strokes, Stroke{Number: c.stroke + 1, FirstLine: move.Line, From: c.from,
			StartLine: m.restart[c.move], Starts: m.starts[c.move] + before, Deepest: c.from.Z, Narrowest: math.Inf(1)})
	}
	s := &m.Strokes[c.stroke]
	s.LastLine, s.To = move.Line, c.to
	s.Length += c.length
	s.Seconds += seconds
	s.Deepest = min(s.Deepest, c.from.Z, c.to.Z)
	first := c.begins
	m.path.footprint(c, m.brush, func(x, y, width float64) {
		s.Box.spread(x, y, width/2, first)
		m.Marks.spread(x, y, width/2, first && c.stroke == 0)
		s.Widest = max(s.Widest, width)
		if c.length > 0 {
			// On a move straight down or up the narrower marks are inside the
			// wider ones.
			s.Narrowest = min(s.Narrowest, width)
		}
		first = false
	})
}

// widths sets the range of widths over all marks.
func (m *measuring) widths() {
	for i := range m.Strokes {
		s := &m.Strokes[i]
		if math.IsInf(s.Narrowest, 1) { // a dab
			s.Narrowest = s.Widest
		}
		if i == 0 {
			m.Narrowest = s.Narrowest
		}
		m.Narrowest, m.Widest = min(m.Narrowest, s.Narrowest), max(m.Widest, s.Widest)
	}
}

// footprint yields marks that together have the same bounds as what is painted
// along a segment: at its ends, where the table of widths has a corner, and for
// an arc at the corners of its box with the widest mark of the segment.
func (p *Path) footprint(c segment, brush *Brush, yield func(x, y, width float64)) {
	width := func(z float64) float64 {
		if brush == nil {
			return 0
		}
		return brush.at(z, c.feed)
	}
	from, to := width(c.from.Z), width(c.to.Z)
	yield(c.from.X, c.from.Y, from)
	m := &p.Moves[c.move]
	if m.Helix != nil && !c.towed {
		e := m.Extent()
		wide := max(from, to)
		yield(e.Min.X, e.Min.Y, wide)
		yield(e.Max.X, e.Max.Y, wide)
	} else if brush != nil {
		brush.bends(-c.from.Z, -c.to.Z, func(share float64) {
			q := between(c.from, c.to, share)
			yield(q.X, q.Y, width(q.Z))
		})
	}
	if c.to != c.from {
		yield(c.to.X, c.to.Y, to)
	}
}

// mm is a length in mm as text, to a thousandth.
func mm(v float64) string { return fixed(v, 3) }

// fixed is a number as text with the given number of decimals, never -0.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if v <= 0 && s[0] == '-' && !hasDigit(s) {
		return s[1:]
	}
	return s
}

// hasDigit reports whether the text has any digit but 0.
func hasDigit(s string) bool {
	for _, c := range s {
		if '1' <= c && c <= '9' {
			return true
		}
	}
	return false
}
