package main

import (
	"math"

	"mahlstick/recipe/arith"
)

// Everything that decides a byte of a drawing is written so that no processor
// can fuse a product with a sum: products go through mul, angles through
// recipe/arith.

func mul(a, b float64) float64 { return float64(a * b) }

// pt is a point of the sheet or a direction, in mm; x runs right and y up from
// the sheet's lower left corner.
type pt struct{ x, y float64 }

func (p pt) plus(q pt) pt             { return pt{p.x + q.x, p.y + q.y} }
func (p pt) minus(q pt) pt            { return pt{p.x - q.x, p.y - q.y} }
func (p pt) times(k float64) pt       { return pt{mul(p.x, k), mul(p.y, k)} }
func (p pt) dot(q pt) float64         { return mul(p.x, q.x) + mul(p.y, q.y) }
func (p pt) cross(q pt) float64       { return mul(p.x, q.y) - mul(p.y, q.x) }
func (p pt) left() pt                 { return pt{-p.y, p.x} }
func (p pt) right() pt                { return pt{p.y, -p.x} }
func (p pt) length() float64          { return arith.Hypot(p.x, p.y) }
func (p pt) unit() pt                 { return p.times(1 / p.length()) }
func (p pt) to(q pt, k float64) pt    { return p.plus(q.minus(p).times(k)) }
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

// moved and shift give a line elsewhere: moved by a vector, shifted to the
// right (mm) as seen from its start.
func moved(l []pt, by pt) []pt {
	out := make([]pt, len(l))
	for i, q := range l {
		out[i] = q.plus(by)
	}
	return out
}

func shift(l []pt, d float64) []pt {
	return moved(l, l[len(l)-1].minus(l[0]).unit().right().times(d))
}

// hand is the unsteadiness of a hand: numbers within ±1 that depend on nothing
// but a seed and a count (the finalizer of a well-known 64-bit mixing
// function, so that no library's generator decides the picture).
func hand(seed, n int) float64 {
	z := uint64(seed)*0x9e3779b97f4a7c15 + uint64(n)*0xbf58476d1ce4e5b9
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return float64(z>>11)/(1<<52) - 1
}

// drift is hand made smooth along x: it wanders from one number to the next
// as x grows by 1.
func drift(seed int, x float64) float64 {
	n := math.Floor(x)
	k := x - n
	k = mul(mul(k, k), 3-mul(2, k))
	return lerp(hand(seed, int(n)), hand(seed, int(n)+1), k)
}
