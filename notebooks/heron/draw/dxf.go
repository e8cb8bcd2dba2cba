package main

import (
	"math"

	"mahlstick/notebooks/brushwork"
	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing/dxfwrite"
)

// sheet is how an ink's drawing lies.
type sheet struct{ brushwork.Frame }

// Each drawing has an origin of its own, so that registration has work to do.
var sheets = map[string]sheet{
	straw:  {brushwork.NewFrame("mm", xy(40, 12.5))},
	moss:   {brushwork.NewFrame("cm", xy(-105, -148.5))},
	slate:  {brushwork.NewFrame("in", xy(0, -297))},
	indigo: {brushwork.NewFrame("mm", xy(-15, -15))},
}

// The registration mark: a square of this size round this point of the sheet.
var markAt = xy(15, 15)

const markSize = 8.0

// file makes the drawing of an ink.
func (p *picture) file(ink string) dxfwrite.File {
	s := sheets[ink]
	out := dxfwrite.File{Unit: s.Unit}
	out.Entities = append(out.Entities, s.mark(ink == moss)...)
	for i, o := range p.outlines[ink] {
		out.Entities = append(out.Entities, s.entities(o, i)...)
	}
	return out
}

const markLayer = "register"

// mark is the registration mark, as one polyline or as four loose lines.
func (s sheet) mark(loose bool) []dxfwrite.Entity {
	c := s.At(markAt)
	square := dxfwrite.Square(markLayer, c, s.Length(markSize))
	if !loose {
		return []dxfwrite.Entity{square}
	}
	var out []dxfwrite.Entity
	for _, i := range []int{2, 0, 3, 1} {
		out = append(out, dxfwrite.Line{Layer: markLayer, From: square.Points[i].At, To: square.Points[(i+1)%4].At})
	}
	return out
}

// entities writes one contour; seed scrambles the order of loose pieces.
func (s sheet) entities(o outline, seed int) []dxfwrite.Entity {
	switch {
	case o.circle > 0 && o.depth%2 == 1:
		// A hole runs clockwise, which a circle cannot.
		c, r := o.joints[0].p, xy(o.circle, 0)
		return []dxfwrite.Entity{dxfwrite.Polyline{Layer: o.subject, Closed: true,
			Points: []dxfwrite.Vertex{{At: s.At(c.Plus(r)), Bulge: -1}, {At: s.At(c.Minus(r)), Bulge: -1}}}}
	case o.circle > 0:
		return []dxfwrite.Entity{dxfwrite.Circle{Layer: o.subject, Centre: s.At(o.joints[0].p), Radius: s.Length(o.circle)}}
	case o.as == asPolyline:
		return []dxfwrite.Entity{s.polyline(o)}
	case o.as == asPieces:
		return s.pieces(o, seed)
	}
	control, knots := spline(o.joints)
	e := dxfwrite.Spline{Layer: o.subject, Degree: 3, Closed: true}
	for _, p := range control {
		e.Control = append(e.Control, s.At(p))
	}
	for _, u := range knots {
		e.Knots = append(e.Knots, brushwork.Rounded(u, 1e4))
	}
	return []dxfwrite.Entity{e}
}

// bulge is the tangent of a quarter of the angle that the way from a joint to
// the next turns through, taken as an arc through its middle.
func bulge(a, b joint) float64 {
	chord := b.p.Minus(a.p)
	l := chord.Length()
	v := chord.Cross(a.middle.Minus(a.p)) / l
	return -v / (l / 2)
}

func (s sheet) polyline(o outline) dxfwrite.Polyline {
	e := dxfwrite.Polyline{Layer: o.subject, Closed: true}
	for i, j := range o.joints {
		b := bulge(j, o.joints[(i+1)%len(o.joints)])
		e.Points = append(e.Points, dxfwrite.Vertex{At: s.At(j.p), Bulge: brushwork.Rounded(b, 1e6)})
	}
	return e
}

// straight is the height of an arc (mm) that is written as a line.
const straight = 0.003

// pieces are loose lines and arcs, every third from the end first, some of
// the lines the other way round: nobody who draws by hand keeps them in order.
func (s sheet) pieces(o outline, seed int) []dxfwrite.Entity {
	var out []dxfwrite.Entity
	n := len(o.joints)
	for start := range 3 {
		for i := n - 1 - start; i >= 0; i -= 3 {
			a, b := o.joints[i], o.joints[(i+1)%n]
			out = append(out, s.piece(o.subject, a, b, (seed+i)%2 == 0))
		}
	}
	return out
}

func (s sheet) piece(layer string, a, b joint, back bool) dxfwrite.Entity {
	q := bulge(a, b)
	chord := b.p.Minus(a.p)
	if math.Abs(mul(q, chord.Length()/2)) < straight {
		if back {
			a, b = b, a
		}
		return dxfwrite.Line{Layer: layer, From: s.At(a.p), To: s.At(b.p)}
	}
	// The centre lies on the chord's normal, to the left of an arc that runs
	// counter-clockwise.
	q2 := mul(q, q)
	centre := a.p.Toward(b.p, 0.5).Plus(chord.Left().Times((1 - q2) / mul(4, q)))
	from, to := a.p.Minus(centre), b.p.Minus(centre)
	if q < 0 {
		from, to = to, from
	}
	// The centre of a flat arc is far away: what rounding moves it by is kept
	// small against the gap that readers close.
	return dxfwrite.Arc{Layer: layer, Centre: s.At(centre), Radius: s.Length(from.Length()), Start: degrees(from), End: degrees(to)}
}

func degrees(v pt) float64 {
	d := mul(arith.Atan2(v.Y, v.X), 180/arith.Pi)
	if d < 0 {
		d += 360
	}
	return brushwork.Rounded(d, 1e7)
}
