// Package brushwork has what the example studio's drawings are made with:
// points, smooth lines, the swelling of a stroke, its outline, and the files.
//
// The drawings are the same bytes on every processor: products go through Mul,
// so that none is fused with a sum, and angles through recipe/arith.
package brushwork

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/vector"
)

// Mul is a product that is rounded before it is added to anything.
func Mul(a, b float64) float64 { return float64(a * b) }

// Unit is the direction of p, with length 1.
func Unit(p vector.XY) vector.XY { return p.Times(1 / p.Length()) }

// Right is p turned by a right angle clockwise.
func Right(p vector.XY) vector.XY { return vector.XY{X: p.Y, Y: -p.X} }

// Turned is p turned counter-clockwise.
func Turned(p vector.XY, degrees float64) vector.XY {
	sin, cos := arith.SinCosDegrees(degrees)
	return vector.XY{X: Mul(p.X, cos) - Mul(p.Y, sin), Y: Mul(p.X, sin) + Mul(p.Y, cos)}
}

// Points pairs up a list of coordinates.
func Points(xy ...float64) []vector.XY {
	p := make([]vector.XY, len(xy)/2)
	for i := range p {
		p[i] = vector.XY{X: xy[2*i], Y: xy[2*i+1]}
	}
	return p
}

// Clamp is v, or the nearer bound where it lies outside.
func Clamp(v, low, high float64) float64 { return math.Max(low, math.Min(high, v)) }

// TanHalf is the tangent of half the angle whose cosine is given.
func TanHalf(cos float64) float64 {
	cos = Clamp(cos, -1, 1)
	return math.Sqrt((1 - cos) / (1 + cos))
}

// TanQuarter is the tangent of a quarter of an angle, from that of half of it.
func TanQuarter(half float64) float64 { return half / (1 + math.Sqrt(1+Mul(half, half))) }

// Cubic is the point at share k of the Bézier curve from p to q with the
// control points a and b.
func Cubic(p, a, b, q vector.XY, k float64) vector.XY {
	pa, ab, bq := p.Toward(a, k), a.Toward(b, k), b.Toward(q, k)
	return pa.Toward(ab, k).Toward(ab.Toward(bq, k), k)
}

// Hand is the unsteadiness of a hand: numbers within ±1 that depend on nothing
// but a seed and a count (the finalizer of a published 64-bit mixing function,
// so that no library's generator decides a picture).
func Hand(seed, n int) float64 {
	z := uint64(seed)*0x9e3779b97f4a7c15 + uint64(n)*0xbf58476d1ce4e5b9
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return float64(z>>11)/(1<<52) - 1
}
