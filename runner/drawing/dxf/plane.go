package dxf

import (
	"math"

	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// objectPlane maps the coordinates of an object extruded along n to those of the
// world. It returns false if n has no direction.
//
// Source: DXF Reference, "Arbitrary Axis Algorithm".
func objectPlane(n vector.XYZ) (affine.Map, bool) {
	if n.X == 0 && n.Y == 0 && n.Z > 0 {
		return affine.Scale(1), true
	}
	length := math.Sqrt(n.Dot(n))
	if !(length > 1e-150) || math.IsInf(length, 0) {
		return affine.Map{}, false
	}
	n = vector.XYZ{X: n.X / length, Y: n.Y / length, Z: n.Z / length}
	var a vector.XYZ
	if math.Abs(n.X) < 1.0/64 && math.Abs(n.Y) < 1.0/64 {
		a = vector.XYZ{X: n.Z, Z: -n.X} // the world's y axis × n
	} else {
		a = vector.XYZ{X: -n.Y, Y: n.X} // the world's z axis × n
	}
	length = math.Sqrt(a.Dot(a))
	a = vector.XYZ{X: a.X / length, Y: a.Y / length, Z: a.Z / length}
	b := n.Cross(a)
	return affine.Map{
		XX: a.X, XY: b.X, XZ: n.X,
		YX: a.Y, YY: b.Y, YZ: n.Y,
		ZX: a.Z, ZY: b.Z, ZZ: n.Z,
	}, true
}
