// Package flatten lays curves down as chains of chords, in mm.
package flatten

import (
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// Curve is an outline or a line, or a part of one, in the coordinates in which
// it was drawn.
type Curve interface {
	// Flatten lays the curve down with a pen, mapped to mm. It answers false
	// where the curve has a gap inside.
	Flatten(m *affine.Map, p *Pen) bool
	// Copy gives a curve that shares no memory with this one.
	Copy() Curve
	// Parts is the number of points and values that define it.
	Parts() int
}

// Pen lays down one curve after the other as chords.
type Pen struct {
	// Points (mm) of the curve so far.
	Points []vector.XY
	// Widths in mm, one a point; empty where the curve has none.
	Widths []float64
	// Tolerance in mm: no point of a curve is farther from its chords, and no
	// point of a chord farther from its curve. Where Rough is set it is at least
	// a thousandth of the curve's size.
	Tolerance float64
	Rough     bool
	// Room is the number of points that may be laid down. Where a curve needs
	// more, Full is set, and the curve is not complete.
	Room int
	Full bool

	control []weighted // of the last spline
}

// Begin starts a new curve, whose points are appended to free.
func (p *Pen) Begin(free []vector.XY) {
	p.Points, p.Widths, p.Full = free, p.Widths[:0], false
}

// to lays down a point.
func (p *Pen) to(q vector.XY) { p.Points = append(p.Points, q) }

// tolerance is how far (mm) a chord may lie from a curve of about this size.
func (p *Pen) tolerance(size float64) float64 {
	if p.Rough {
		return max(p.Tolerance, size/1000)
	}
	return p.Tolerance
}

// Line is a straight line.
type Line struct{ From, To vector.XYZ }

// Flatten lays the line down.
func (l *Line) Flatten(m *affine.Map, p *Pen) bool {
	p.to(m.At(l.From))
	p.to(m.At(l.To))
	return true
}

// Copy gives a line of its own.
func (l *Line) Copy() Curve {
	c := *l
	return &c
}

// Tidy drops repeated points of the curve, and the repeated start of a closed
// one.
func (p *Pen) Tidy(closed bool) {
	n := len(p.Points)
	if len(p.Widths) > 0 {
		n = p.tidyWide()
	} else if n > 0 {
		n = tidy(p.Points)
	}
	for closed && n > 1 && Same(p.Points[n-1], p.Points[0]) {
		n--
	}
	p.Points = p.Points[:n]
	if len(p.Widths) > 0 {
		p.Widths = p.Widths[:n]
	}
}

func tidy(path []vector.XY) int {
	n := 1
	for n < len(path) && !Same(path[n-1], path[n]) {
		n++
	}
	for i := n + 1; i < len(path); i++ {
		if !Same(path[n-1], path[i]) {
			path[n] = path[i]
			n++
		}
	}
	return n
}

// tidyWide is tidy with widths: of points that are one the last width stays.
func (p *Pen) tidyWide() int {
	n := 1
	for i := 1; i < len(p.Points); i++ {
		if Same(p.Points[n-1], p.Points[i]) {
			p.Widths[n-1] = p.Widths[i]
			continue
		}
		p.Points[n], p.Widths[n] = p.Points[i], p.Widths[i]
		n++
	}
	return n
}

// SetWidth gives all points of the curve one width (mm).
func (p *Pen) SetWidth(width float64) {
	for range p.Points {
		p.Widths = append(p.Widths, width)
	}
}

// Parts is 2.
func (l *Line) Parts() int { return 2 }
