package main

import (
	"math"

	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/drawing/dxfwrite"
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
	u, v := a.Minus(m), b.Minus(m)
	// The angle at m over the chord is 180 degrees less half the arc's.
	half := brushwork.TanHalf(-u.Dot(v) / mul(u.Length(), v.Length()))
	if b.Minus(a).Cross(m.Minus(a)) > 0 {
		half = -half
	}
	return half
}

// follows says whether the arc with this bulge over the ends of a line lies
// near all its points. A flat arc is a parabola nearly enough.
func follows(l []pt, b float64) bool {
	a, chord := l[0], l[len(l)-1].Minus(l[0])
	long := chord.Length()
	if long == 0 {
		return false
	}
	rise := -mul(b, long/2)
	for _, p := range l {
		x := p.Minus(a).Dot(chord) / mul(long, long)
		off := chord.Cross(p.Minus(a))/long - mul(mul(4, rise), mul(x, 1-x))
		if math.Abs(off) > near || x < 0 || x > 1 {
			return false
		}
	}
	return true
}

// frame is how a drawing lies.
type frame struct{ brushwork.Frame }

// polyline writes corners down.
func (f frame) polyline(layer string, cs []corner, closed bool) dxfwrite.Polyline {
	e := dxfwrite.Polyline{Layer: layer, Closed: closed}
	for _, c := range cs {
		e.Points = append(e.Points, dxfwrite.Vertex{At: f.At(c.at), Bulge: brushwork.Rounded(c.bulge, 1e6)})
	}
	return e
}
