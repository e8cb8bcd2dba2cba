package main

import (
	"math"

	"mahlstick/runner/drawing"
)

// near is how far (mm) an arc that is written may lie from the line it stands
// for.
const near = 0.006

// corner is a point of an outline and the bulge of the arc to the next: the
// tangent of a quarter of its angle, positive where it bends to the left.
type corner struct {
	at    pt
	bulge float64
}

// arcs replaces a line of points close together by few arcs. The last point is
// not among the corners.
func arcs(l []pt) []corner {
	if len(l) < 2 {
		return nil
	}
	if len(l) == 2 {
		return []corner{{l[0], 0}}
	}
	mid := len(l) / 2
	b := bulge(l[0], l[mid], l[len(l)-1])
	if math.Abs(b) < 0.2 && follows(l, b) {
		return []corner{{l[0], b}}
	}
	return append(arcs(l[:mid+1]), arcs(l[mid:])...)
}

// bulge is that of the arc from a to b by way of m.
func bulge(a, m, b pt) float64 {
	u, v := a.minus(m), b.minus(m)
	// The angle at m over the chord is 180 degrees less half the arc's.
	half := tanHalf(-u.dot(v) / mul(u.length(), v.length()))
	if b.minus(a).cross(m.minus(a)) > 0 {
		half = -half
	}
	return half
}

// follows says whether the arc with this bulge over the ends of a line lies
// near all its points. A flat arc is a parabola nearly enough.
func follows(l []pt, b float64) bool {
	a, chord := l[0], l[len(l)-1].minus(l[0])
	long := chord.length()
	if long == 0 {
		return false
	}
	rise := -mul(b, long/2)
	for _, p := range l {
		x := p.minus(a).dot(chord) / mul(long, long)
		off := chord.cross(p.minus(a))/long - mul(mul(4, rise), mul(x, 1-x))
		if math.Abs(off) > near || x < 0 || x > 1 {
			return false
		}
	}
	return true
}

// frame is how a drawing lies: its unit, and where the sheet's lower left
// corner is in it.
type frame struct {
	mm       float64 // in one unit
	decimals float64 // power of ten
	corner   pt      // mm
}

func (f frame) number(v float64) float64 { return math.Floor(mul(v, f.decimals)+0.5) / f.decimals }

func (f frame) length(mm float64) float64 { return f.number(mm / f.mm) }

func (f frame) at(p pt) drawing.XY {
	q := p.plus(f.corner)
	return drawing.XY{X: f.length(q.x), Y: f.length(q.y)}
}

// polyline writes corners down.
func (f frame) polyline(layer string, cs []corner, closed bool) drawing.Polyline {
	e := drawing.Polyline{Layer: layer, Closed: closed}
	for _, c := range cs {
		e.Points = append(e.Points, drawing.Vertex{At: f.at(c.at), Bulge: math.Floor(mul(c.bulge, 1e6)+0.5) / 1e6})
	}
	return e
}
