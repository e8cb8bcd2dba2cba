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
	From, To            Point
	Length              float64 // of the mark, seen from above, mm
	Starts              float64 // s after the start of the program
	Seconds             float64
	Deepest             float64 // lowest Z, mm
	Narrowest, Widest   float64 // of the mark, mm; 0 where no brush is known
	Box                 Rect    // of the mark; of the tip's way where no brush is known
}

// FeedUse is how much of the way is gone at one feed.
type FeedUse struct {
	Feed   float64 // mm/min
	Moves  int
	Length float64 // mm along the path
}

// Measures is what can be read off a path.
type Measures struct {
	Strokes []Stroke
	Painted float64 // length in contact, seen from above, mm
	Travel  float64 // length of the way lifted, along the path, mm
	Rapid   float64 // length of all rapids, mm
	Fed     float64 // length of all feed moves, mm
	Seconds float64 // without the pauses
	Waiting float64 // s of that in dwells
	Contact float64 // s of that in contact
	Pauses  int
	Lowest  float64 // lowest Z, mm
	Box     Box     // of the whole path
	Marks   Rect    // around all marks
	Feeds   []FeedUse
	// Narrowest and Widest are the widths of all marks, mm; 0 where no brush
	// is known.
	Narrowest, Widest float64
}

// Measure measures a path. The brush may be nil.
func Measure(p *Path, t Timing, brush *Brush) Measures {
	var m Measures
	seconds := p.Seconds(t)
	starts := make([]float64, len(seconds))
	feeds := map[float64]int{}
	for i := range p.Moves {
		move := &p.Moves[i]
		starts[i] = m.Seconds
		m.Seconds += seconds[i]
		switch move.Kind {
		case Dwell:
			m.Waiting += seconds[i]
			continue
		case Pause:
			m.Pauses++
			continue
		}
		length := move.Length()
		m.Travel += length
		extent := move.Extent()
		m.Box.spread(extent.Min, i == 0)
		m.Box.spread(extent.Max, false)
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
	m.Lowest = m.Box.Min.Z
	p.marks(brush, false, func(c piece) {
		move := &p.Moves[c.move]
		m.Travel -= float64(move.Length() * c.share)
		m.Painted += c.plan
		m.Contact += float64(seconds[c.move] * c.share)
		if c.begins {
			// How long the move was under way before it touched.
			before := 0.0
			if c.from != move.From {
				before = float64(seconds[c.move] * (1 - c.share))
			}
			m.Strokes = append(m.Strokes, Stroke{Number: c.stroke + 1, FirstLine: move.Line, From: c.from,
				Starts: starts[c.move] + before, Deepest: c.from.Z, Narrowest: math.Inf(1)})
		}
		s := &m.Strokes[c.stroke]
		s.LastLine, s.To = move.Line, c.to
		s.Length += c.plan
		s.Seconds += float64(seconds[c.move] * c.share)
		s.Deepest = min(s.Deepest, c.from.Z, c.to.Z)
		first := c.begins
		p.footprint(c, brush, func(x, y, width float64) {
			s.Box.spread(x, y, width/2, first)
			m.Marks.spread(x, y, width/2, first && c.stroke == 0)
			s.Widest = max(s.Widest, width)
			if c.plan > 0 {
				// On the way straight down or up the narrower marks lie
				// inside the wider ones.
				s.Narrowest = min(s.Narrowest, width)
			}
			first = false
		})
	})
	m.Travel = max(0, m.Travel)
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
	return m
}

// footprint yields the marks that bound what is painted along a piece: at its
// ends, where the width stops changing evenly, and, of an arc, at the corners
// of the box around it with the widest mark on the way.
func (p *Path) footprint(c piece, brush *Brush, yield func(x, y, width float64)) {
	width := func(z float64) float64 {
		if brush == nil {
			return 0
		}
		return brush.Width(-z)
	}
	from, to := width(c.from.Z), width(c.to.Z)
	yield(c.from.X, c.from.Y, from)
	m := &p.Moves[c.move]
	if m.Turn != nil && !c.towed {
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

// mm writes a length in mm to a thousandth.
func mm(v float64) string { return fixed(v, 3) }

// fixed writes a number with a number of decimals, no minus before nothing.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if v <= 0 && s[0] == '-' && !hasDigit(s) {
		return s[1:]
	}
	return s
}

// hasDigit says whether any digit but 0 stands in the text.
func hasDigit(s string) bool {
	for _, c := range s {
		if '1' <= c && c <= '9' {
			return true
		}
	}
	return false
}
