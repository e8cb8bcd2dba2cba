package proof

// Lie maps positions of the axes in a program to those that they would have if
// the sheet had not moved from where Limits.Sheet is:
// x' = XX·x + XY·y + X, y' = YX·x + YY·y + Y.
type Lie struct{ XX, XY, YX, YY, X, Y float64 }

func (l *Lie) at(p Point) Point {
	p.X, p.Y = float64(l.XX*p.X)+float64(l.XY*p.Y)+l.X, float64(l.YX*p.X)+float64(l.YY*p.Y)+l.Y
	return p
}

// On is the path as the sheet sees it: all positions mapped, and arcs replaced by
// chords, because a map that stretches makes no circles. A nil Lie is a sheet
// that has not moved, and gives the path itself.
func (p *Path) On(l *Lie) *Path {
	if l == nil {
		return p
	}
	out := *p
	out.Moves = make([]Move, 0, len(p.Moves))
	for _, m := range p.Moves {
		from := l.at(m.From)
		if m.Helix == nil {
			m.From, m.To = from, l.at(m.To)
			out.Moves = append(out.Moves, m)
			continue
		}
		chord := m
		chord.Kind, chord.Helix = Feed, nil
		m.chords(chordError, func(_ float64, to Point) bool {
			chord.From, chord.To = from, l.at(to)
			out.Moves = append(out.Moves, chord)
			from = chord.To
			return true
		})
	}
	return &out
}
