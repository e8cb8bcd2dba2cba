package main

import (
	"math"

	"mahlstick/recipe/arith"
)

// Products go through mul, so that no processor fuses them with a sum, and
// angles through recipe/arith: the drawings are the same bytes everywhere.

func mul(a, b float64) float64 { return float64(a * b) }

// pt is a point of the sheet or a direction, in mm; x runs right and y up from
// the sheet's lower left corner.
type pt struct{ x, y float64 }

func (p pt) plus(q pt) pt          { return pt{p.x + q.x, p.y + q.y} }
func (p pt) minus(q pt) pt         { return pt{p.x - q.x, p.y - q.y} }
func (p pt) times(k float64) pt    { return pt{mul(p.x, k), mul(p.y, k)} }
func (p pt) dot(q pt) float64      { return mul(p.x, q.x) + mul(p.y, q.y) }
func (p pt) cross(q pt) float64    { return mul(p.x, q.y) - mul(p.y, q.x) }
func (p pt) left() pt              { return pt{-p.y, p.x} }
func (p pt) length() float64       { return arith.Hypot(p.x, p.y) }
func (p pt) unit() pt              { return p.times(1 / p.length()) }
func (p pt) to(q pt, k float64) pt { return p.plus(q.minus(p).times(k)) }

// turned gives a direction turned counter-clockwise.
func (p pt) turned(degrees float64) pt {
	sin, cos := arith.SinCosDegrees(degrees)
	return pt{mul(p.x, cos) - mul(p.y, sin), mul(p.x, sin) + mul(p.y, cos)}
}

func lerp(a, b, k float64) float64    { return a + mul(b-a, k) }
func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// points pairs up a list of coordinates.
func points(xy ...float64) []pt {
	p := make([]pt, len(xy)/2)
	for i := range p {
		p[i] = pt{xy[2*i], xy[2*i+1]}
	}
	return p
}

// tanHalf is the tangent of half the angle whose cosine is given.
func tanHalf(cos float64) float64 {
	cos = clamp(cos, -1, 1)
	return math.Sqrt((1 - cos) / (1 + cos))
}
