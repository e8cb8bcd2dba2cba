package flatten

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// Corner is a vertex of a polyline with the segment that follows it.
type Corner struct {
	At vector.XYZ
	// Bulge is the tangent of a quarter of the angle of an arc, positive where it
	// runs counter-clockwise; 0 for a straight segment.
	Bulge float64
	// From and To are the widths at the ends of the segment.
	From, To float64
}

// Polyline has straight segments and arcs of circles.
type Polyline struct {
	Corners []Corner
	Closed  bool
	Wide    bool // it has widths
}

// Copy gives a polyline of its own.
func (l *Polyline) Copy() Curve {
	return &Polyline{slices.Clone(l.Corners), l.Closed, l.Wide}
}

// Parts is the number of corners.
func (l *Polyline) Parts() int { return len(l.Corners) }

// Flatten lays the polyline down.
func (l *Polyline) Flatten(m *affine.Map, p *Pen) bool {
	segments := len(l.Corners) - 1
	if l.Closed {
		segments++
	}
	if l.Wide {
		w := wideLine{pen: p, m: m, l: l, stretch: m.Stretch()}
		w.lay(segments)
		return true
	}
	for i := range l.Corners {
		c := &l.Corners[i]
		p.to(m.At(c.At))
		if c.Bulge == 0 || i >= segments {
			continue
		}
		if to := &l.Corners[(i+1)%len(l.Corners)]; c.At != to.At {
			arc, sweep := bulge(m, c.At, to.At, c.Bulge)
			p.sweep(&arc, 0, sweep)
			if p.Full {
				return true
			}
		}
	}
	return true
}

// bulge gives the arc between two corners: it begins at t = 0 and ends at
// sweep.
//
// Source: DXF Reference, LWPOLYLINE: "The bulge is the tangent of one fourth
// the included angle for an arc segment, made negative if the arc goes
// clockwise from the start point to the end point."
func bulge(m *affine.Map, p, q vector.XYZ, b float64) (c conic, sweep float64) {
	dx, dy := q.X-p.X, q.Y-p.Y
	// From the middle of the chord the centre lies this share of the chord
	// to its left.
	k := (1 - float64(b*b)) / (4 * b)
	cx := p.X + float64(0.5*dx) - float64(k*dy)
	cy := p.Y + float64(0.5*dy) + float64(k*dx)
	ux, uy := p.X-cx, p.Y-cy
	c = mapped(m, vector.XYZ{X: cx, Y: cy, Z: p.Z}, vector.XYZ{X: ux, Y: uy}, vector.XYZ{X: -uy, Y: ux})
	return c, float64(4 * arith.Atan(b))
}

// jump is the length (mm) over which a width that jumps at a corner changes:
// far below what paint can show. So every point has one width.
const jump = 0.001

// wideLine lays down a polyline with widths.
type wideLine struct {
	pen     *Pen
	m       *affine.Map
	l       *Polyline
	stretch float64
	last    float64 // the width at the end of the segment before
}

func (w *wideLine) put(p vector.XY, width float64) {
	w.pen.to(p)
	w.pen.Widths = append(w.pen.Widths, float64(width*w.stretch))
}

func (w *wideLine) lay(segments int) {
	corners := w.l.Corners
	if len(corners) == 0 {
		return
	}
	w.last = corners[0].From
	for i := 0; i < segments && !w.pen.Full; i++ {
		s := w.segment(&corners[i], &corners[(i+1)%len(corners)])
		w.laySegment(&s)
		switch {
		case i < segments-1:
		case !w.l.Closed:
			w.put(s.end, w.last)
		case w.last != corners[0].From:
			w.put(s.at(1-s.step), w.last)
		}
	}
}

// wideSegment is a segment with its ends in mm.
type wideSegment struct {
	from, to   float64 // widths
	start, end vector.XY
	curved     bool
	arc        conic
	sweep      float64
	step       float64 // the share of the segment over which a width jumps
}

func (w *wideLine) segment(a, b *Corner) wideSegment {
	s := wideSegment{from: a.From, to: a.To, start: w.m.At(a.At), end: w.m.At(b.At), curved: a.Bulge != 0 && a.At != b.At, step: 0.25}
	if s.curved {
		s.arc, s.sweep = bulge(w.m, a.At, b.At, a.Bulge)
	}
	if length := math.Max(math.Abs(s.end.X-s.start.X), math.Abs(s.end.Y-s.start.Y)); length > 4*jump {
		s.step = jump / length
	}
	return s
}

// at is the point after a share of the segment.
func (s *wideSegment) at(share float64) vector.XY {
	if s.curved {
		return s.arc.at(float64(s.sweep * share))
	}
	return vector.XY{X: s.start.X + float64((s.end.X-s.start.X)*share), Y: s.start.Y + float64((s.end.Y-s.start.Y)*share)}
}

func (w *wideLine) laySegment(s *wideSegment) {
	w.put(s.start, w.last)
	if s.from != w.last {
		w.put(s.at(s.step), s.from)
	}
	if s.curved {
		first := len(w.pen.Points)
		w.pen.sweep(&s.arc, 0, s.sweep)
		for k, n := 0, len(w.pen.Points)-first; k < n; k++ {
			share := float64(k+1) / float64(n+1)
			w.pen.Widths = append(w.pen.Widths, float64((s.from+float64((s.to-s.from)*share))*w.stretch))
		}
	}
	w.last = s.to
}
