// Package vector computes with points and directions in floating numbers,
// with the same bits on every processor: products are rounded before they are
// added, so that nothing is fused.
//
// The functions do not care for the unit. A drawing and what is drawn from it
// are in mm; runner/plane has the grid on which a job's points lie, and what
// is decided on it exactly.
package vector

import "mahlstick/recipe/arith"

// XY is a point of the plane, or a direction, y upwards.
type XY struct{ X, Y float64 }

// Plus is p moved by q.
func (p XY) Plus(q XY) XY { return XY{p.X + q.X, p.Y + q.Y} }

// Minus is the way from q to p.
func (p XY) Minus(q XY) XY { return XY{p.X - q.X, p.Y - q.Y} }

// Times is p made k times as long.
func (p XY) Times(k float64) XY { return XY{float64(p.X * k), float64(p.Y * k)} }

// Dot is the scalar product.
func (p XY) Dot(q XY) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross is the length of the vector product: positive where q lies to the left
// of p.
func (p XY) Cross(q XY) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Left is p turned by a right angle counter-clockwise.
func (p XY) Left() XY { return XY{-p.Y, p.X} }

// Length of the way, to about 1 ulp.
func (p XY) Length() float64 { return arith.Hypot(p.X, p.Y) }

// Toward is the point a share t of the way from p to q.
func (p XY) Toward(q XY, t float64) XY { return XY{Lerp(p.X, q.X, t), Lerp(p.Y, q.Y, t)} }

// Distance of two points.
func Distance(p, q XY) float64 { return p.Minus(q).Length() }

// Distance2 is the square of Distance.
func Distance2(p, q XY) float64 {
	d := p.Minus(q)
	return d.Dot(d)
}

// Lerp is the value a share t of the way from a to b.
func Lerp(a, b, t float64) float64 { return a + float64(t*(b-a)) }

// ToSegment gives the way to p from the nearest point of the segment from a to
// b, and the share of the segment before that point, from 0 to 1.
func ToSegment(p, a, b XY) (way XY, share float64) {
	along, from := b.Minus(a), p.Minus(a)
	if l := along.Dot(along); l > 0 {
		share = min(max(from.Dot(along)/l, 0), 1)
	}
	return XY{from.X - float64(share*along.X), from.Y - float64(share*along.Y)}, share
}
