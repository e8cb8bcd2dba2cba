package proof

import "fmt"

// Station is a box beside the sheet in which the brush may be lowered.
type Station struct {
	What    string  // "well", "wipe" or "scrap"
	Rect    Rect    // of the machine's X and Y, in programmed coordinates
	Lowest  float64 // Z in mm; on scrap it is counted from the paper
	Seconds float64 // that the brush may stay there, and in a well must to be loaded
}

// inkWell and scrapStrip are stations by name.
const (
	inkWell    = "well"
	scrapStrip = "scrap"
)

// holds reports whether all of a move is in the box, seen from above.
func (s *Station) holds(m *Move) bool {
	e := m.Extent()
	return max(s.Rect.outside(e.Min.X, e.Min.Y, 0), s.Rect.outside(e.Max.X, e.Max.Y, 0)) <= coordTolerance
}

// Visiting is a path with its moves in the given boxes marked: what happens there
// is no stroke. Without boxes it is the path itself.
func Visiting(p *Path, stations []Station) *Path {
	if len(stations) == 0 {
		return p
	}
	out := *p
	out.Moves = append([]Move(nil), p.Moves...)
	for i := range out.Moves {
		m := &out.Moves[i]
		m.Visit = false
		for k := range stations {
			m.Visit = m.Visit || m.Unknown == 0 && stations[k].holds(m)
		}
	}
	return &out
}

// hasWell reports whether one of the stations is a well.
func hasWell(stations []Station) bool {
	for _, s := range stations {
		if s.What == inkWell {
			return true
		}
	}
	return false
}

// low is the lowest Z of a move, as a station counts it.
func (lim *Limits) low(s *Station, m *Move) float64 {
	if s.What == scrapStrip && lim.Bed != nil {
		return min(lim.Bed.over(m.From, lim), lim.Bed.over(m.To, lim))
	}
	return m.Extent().Min.Z
}

// loadedBy reports whether a wait of so many seconds loads the brush: at the bottom of
// a well, and long enough.
func (lim *Limits) loadedBy(m *Move, seconds float64) bool {
	for i := range lim.Stations {
		s := &lim.Stations[i]
		if s.What == inkWell && s.holds(m) && m.To.Z <= s.Lowest+restTolerance+coordTolerance && seconds >= s.Seconds-coordTolerance {
			return true
		}
	}
	return false
}

// stations requires that the brush is lowered beside the sheet only where a well, the
// way over its rim or a scrap strip is, and no deeper or longer than stated there.
func stations(p *Path, lim *Limits) *verdict {
	if len(lim.Stations) == 0 {
		return nil
	}
	c := &verdict{name: Stations, why: "a brush that meets the bottom or the rim of a well is bent, and one that is lowered elsewhere meets the bed"}
	for i, s := range lim.Stations {
		if i > 0 {
			c.allowed += "; "
		}
		c.allowed += s.What + " " + rectText(s.Rect) + ", Z " + mm(s.Lowest)
	}
	visits, stay := 0, 0.0
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Pause || m.Unknown != 0 {
			continue
		}
		if m.Kind == Dwell {
			stay += m.Seconds
			if m.Visit && !lim.mayStay(m, stay) {
				c.breaks(m.Line, "stays for %s s at X %s Y %s Z %s", plain(stay), mm(m.To.X), mm(m.To.Y), mm(m.To.Z))
			}
			if m.Visit && lim.loadedBy(m, stay) {
				visits++
			}
			continue
		}
		stay = 0
		switch low := m.Extent().Min.Z; {
		case m.Visit:
			if !lim.lowEnough(m) {
				c.breaks(m.Line, "lowered to Z %s at X %s Y %s", mm(low), mm(m.To.X), mm(m.To.Y))
			}
		case !lim.Loose && low < lim.SafeHeight-coordTolerance && !lim.overSheet(m):
			c.breaks(m.Line, "lowered to Z %s at X %s Y %s, beside the sheet", mm(low), mm(m.To.X), mm(m.To.Y))
		}
	}
	c.kept = countText(visits, "load")
	return c
}

// lowEnough reports whether a move in one of the stations is nowhere lower than
// that allows.
func (lim *Limits) lowEnough(m *Move) bool {
	for i := range lim.Stations {
		if s := &lim.Stations[i]; s.holds(m) && lim.low(s, m) >= s.Lowest-coordTolerance {
			return true
		}
	}
	return false
}

// mayStay reports whether a wait is in a station that allows so many seconds.
func (lim *Limits) mayStay(m *Move, seconds float64) bool {
	for i := range lim.Stations {
		if s := &lim.Stations[i]; s.holds(m) && seconds <= s.Seconds+coordTolerance {
			return true
		}
	}
	return false
}

// overSheet reports whether the tip is over the sheet at both ends of a move.
func (lim *Limits) overSheet(m *Move) bool {
	from, to := m.From, m.To
	if lim.Lie != nil {
		from, to = lim.Lie.at(from), lim.Lie.at(to)
	}
	return max(lim.Sheet.outside(from.X+lim.TipX, from.Y+lim.TipY, 0), lim.Sheet.outside(to.X+lim.TipX, to.Y+lim.TipY, 0)) <= straightDown
}

// Span is a part of the time of a program, in s from its start.
type Span struct{ Starts, Seconds float64 }

// visits are the times that a path spends in its stations: from the first move there
// to the last before the next stroke.
func (m *measuring) visits() {
	open := false
	for i := range m.path.Moves {
		move := &m.path.Moves[i]
		switch {
		case move.Visit:
			if !open {
				m.Visits = append(m.Visits, Span{Starts: m.starts[i]})
			}
			open = true
			v := &m.Visits[len(m.Visits)-1]
			v.Seconds = m.starts[i] + m.seconds[i] - v.Starts
		case move.Kind == Dwell && move.To.Z > 0 && move.Seconds > 0:
			m.Waits = append(m.Waits, Span{m.starts[i], m.seconds[i]})
		case move.Kind != Pause && move.Extent().Min.Z <= 0:
			open = false
		}
	}
}

// StatedStations are the boxes beside the sheet that a program's head states. Only
// comments before the first move count.
func StatedStations(p *Path) []Station {
	var out []Station
	for _, c := range remarks(p) {
		if len(p.Moves) == 0 || c.line >= p.Moves[0].Line || len(out) == mostStays {
			break
		}
		var s Station
		n, _ := fmt.Sscanf(c.text, "%s in X%g to %g, Y%g to %g, Z%g for %g s", &s.What, &s.Rect.MinX, &s.Rect.MaxX, &s.Rect.MinY, &s.Rect.MaxY, &s.Lowest, &s.Seconds)
		known := s.What == inkWell && n == 7 || (s.What == "wipe" || s.What == scrapStrip) && n >= 6
		if known && finite([]Point{{s.Rect.MinX, s.Rect.MinY, s.Lowest}, {s.Rect.MaxX, s.Rect.MaxY, s.Seconds}}) && s.Seconds >= 0 && s.Seconds <= longestStay {
			out = append(out, s)
		}
	}
	return out
}
