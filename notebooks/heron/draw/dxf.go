package main

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing"
)

// sheet is how an ink's drawing lies: its unit, and where the sheet's lower
// left corner is in it (mm).
type sheet struct {
	unit     string
	mm       float64 // in one unit
	decimals float64 // power of ten
	corner   pt
}

// Each drawing has an origin of its own, so that registration has work to do.
var sheets = map[string]sheet{
	straw:  {"mm", 1, 1e4, pt{40, 12.5}},
	moss:   {"cm", 10, 1e5, pt{-105, -148.5}},
	slate:  {"in", 25.4, 1e6, pt{0, -297}},
	indigo: {"mm", 1, 1e4, pt{-15, -15}},
}

// The registration mark: a square of this size round this point of the sheet.
var markAt = pt{15, 15}

const markSize = 8.0

func (s sheet) number(v float64) float64 {
	return math.Floor(mul(v, s.decimals)+0.5) / s.decimals
}

func (s sheet) length(mm float64) float64 { return s.number(mm / s.mm) }

func (s sheet) at(p pt) drawing.XY {
	q := p.plus(s.corner)
	return drawing.XY{X: s.length(q.x), Y: s.length(q.y)}
}

// file makes the drawing of an ink.
func (p *picture) file(ink string) drawing.Out {
	s := sheets[ink]
	out := drawing.Out{Unit: s.unit}
	out.Entities = append(out.Entities, s.mark(ink == moss)...)
	for i, o := range p.outlines[ink] {
		out.Entities = append(out.Entities, s.entities(o, i)...)
	}
	return out
}

const markLayer = "register"

// mark is the registration mark, as one polyline or as four loose lines.
func (s sheet) mark(loose bool) []drawing.Entity {
	c := s.at(markAt)
	square := drawing.Square(markLayer, c, s.length(markSize))
	if !loose {
		return []drawing.Entity{square}
	}
	var out []drawing.Entity
	for _, i := range []int{2, 0, 3, 1} {
		out = append(out, drawing.Line{Layer: markLayer, From: square.Points[i].At, To: square.Points[(i+1)%4].At})
	}
	return out
}

// entities writes one contour; seed scrambles the order of loose pieces.
func (s sheet) entities(o outline, seed int) []drawing.Entity {
	switch {
	case o.circle > 0 && o.depth%2 == 1:
		// A hole runs clockwise, which a circle cannot.
		c, r := o.joints[0].p, pt{o.circle, 0}
		return []drawing.Entity{drawing.Polyline{Layer: o.subject, Closed: true,
			Points: []drawing.Vertex{{At: s.at(c.plus(r)), Bulge: -1}, {At: s.at(c.minus(r)), Bulge: -1}}}}
	case o.circle > 0:
		return []drawing.Entity{drawing.Circle{Layer: o.subject, Centre: s.at(o.joints[0].p), Radius: s.length(o.circle)}}
	case o.as == asPolyline:
		return []drawing.Entity{s.polyline(o)}
	case o.as == asPieces:
		return s.pieces(o, seed)
	}
	control, knots := spline(o.joints)
	e := drawing.Spline{Layer: o.subject, Degree: 3, Closed: true}
	for _, p := range control {
		e.Control = append(e.Control, s.at(p))
	}
	for _, u := range knots {
		e.Knots = append(e.Knots, math.Floor(mul(u, 1e4)+0.5)/1e4)
	}
	return []drawing.Entity{e}
}

// bulge is the tangent of a quarter of the angle that the way from a joint to
// the next turns through, taken as an arc through its middle.
func bulge(a, b joint) float64 {
	chord := b.p.minus(a.p)
	l := chord.length()
	v := chord.cross(a.middle.minus(a.p)) / l
	return -v / (l / 2)
}

func (s sheet) polyline(o outline) drawing.Polyline {
	e := drawing.Polyline{Layer: o.subject, Closed: true}
	for i, j := range o.joints {
		b := bulge(j, o.joints[(i+1)%len(o.joints)])
		e.Points = append(e.Points, drawing.Vertex{At: s.at(j.p), Bulge: math.Floor(mul(b, 1e6)+0.5) / 1e6})
	}
	return e
}

// straight is the height of an arc (mm) that is written as a line.
const straight = 0.003

// pieces are loose lines and arcs, every third from the end first, some of
// the lines the other way round: nobody who draws by hand keeps them in order.
func (s sheet) pieces(o outline, seed int) []drawing.Entity {
	var out []drawing.Entity
	n := len(o.joints)
	for start := range 3 {
		for i := n - 1 - start; i >= 0; i -= 3 {
			a, b := o.joints[i], o.joints[(i+1)%n]
			out = append(out, s.piece(o.subject, a, b, (seed+i)%2 == 0))
		}
	}
	return out
}

func (s sheet) piece(layer string, a, b joint, back bool) drawing.Entity {
	q := bulge(a, b)
	chord := b.p.minus(a.p)
	if math.Abs(mul(q, chord.length()/2)) < straight {
		if back {
			a, b = b, a
		}
		return drawing.Line{Layer: layer, From: s.at(a.p), To: s.at(b.p)}
	}
	// The centre lies on the chord's normal, to the left of an arc that runs
	// counter-clockwise.
	q2 := mul(q, q)
	centre := a.p.to(b.p, 0.5).plus(chord.left().times((1 - q2) / mul(4, q)))
	from, to := a.p.minus(centre), b.p.minus(centre)
	if q < 0 {
		from, to = to, from
	}
	// The centre of a flat arc is far away: what rounding moves it by is kept
	// small against the gap that readers close.
	return drawing.Arc{Layer: layer, Centre: s.at(centre), Radius: s.length(from.length()), Start: degrees(from), End: degrees(to)}
}

func degrees(v pt) float64 {
	d := mul(arith.Atan2(v.y, v.x), 180/arith.Pi)
	if d < 0 {
		d += 360
	}
	return math.Floor(mul(d, 1e7)+0.5) / 1e7
}
