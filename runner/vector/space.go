package vector

import "math"

// XYZ is a point or a direction in space, or a point of the plane with a
// number that changes evenly along a way, such as a width.
type XYZ struct{ X, Y, Z float64 }

// Minus is the way from q to p.
func (p XYZ) Minus(q XYZ) XYZ { return XYZ{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Times is p made k times as long.
func (p XYZ) Times(k float64) XYZ {
	return XYZ{float64(p.X * k), float64(p.Y * k), float64(p.Z * k)}
}

// Dot is the scalar product.
func (p XYZ) Dot(q XYZ) float64 {
	return float64(p.X*q.X) + float64(p.Y*q.Y) + float64(p.Z*q.Z)
}

// Cross is the vector product.
func (p XYZ) Cross(q XYZ) XYZ {
	return XYZ{
		float64(p.Y*q.Z) - float64(p.Z*q.Y),
		float64(p.Z*q.X) - float64(p.X*q.Z),
		float64(p.X*q.Y) - float64(p.Y*q.X),
	}
}

// Length of the way.
func (p XYZ) Length() float64 { return math.Sqrt(p.Dot(p)) }

// Toward is the point a share t of the way from p to q.
func (p XYZ) Toward(q XYZ, t float64) XYZ {
	return XYZ{Lerp(p.X, q.X, t), Lerp(p.Y, q.Y, t), Lerp(p.Z, q.Z, t)}
}

// ToSegment3 is ToSegment in space.
func ToSegment3(p, a, b XYZ) (way XYZ, share float64) {
	along, from := b.Minus(a), p.Minus(a)
	if l := along.Dot(along); l > 0 {
		share = min(max(from.Dot(along)/l, 0), 1)
	}
	return from.Minus(along.Times(share)), share
}
