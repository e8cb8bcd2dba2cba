package drawing

import "math"

type xyz struct{ x, y, z float64 }

// xform is an affine map of space. The picture is what it looks like from
// straight above, so that only x and y of the result are ever drawn.
//
// Products are converted one by one: nothing may be fused, or the last bits
// would depend on the processor.
type xform struct {
	xx, xy, xz float64
	yx, yy, yz float64
	zx, zy, zz float64
	tx, ty, tz float64
}

func scaling(s float64) xform { return xform{xx: s, yy: s, zz: s} }

// at maps a point and looks at it from above.
func (m *xform) at(x, y, z float64) XY {
	return XY{
		X: float64(m.xx*x) + float64(m.xy*y) + float64(m.xz*z) + m.tx,
		Y: float64(m.yx*x) + float64(m.yy*y) + float64(m.yz*z) + m.ty,
	}
}

// along maps a direction and looks at it from above.
func (m *xform) along(x, y, z float64) XY {
	return XY{
		X: float64(m.xx*x) + float64(m.xy*y) + float64(m.xz*z),
		Y: float64(m.yx*x) + float64(m.yy*y) + float64(m.yz*z),
	}
}

func dot3(a, b, c, x, y, z float64) float64 {
	return float64(a*x) + float64(b*y) + float64(c*z)
}

// after is the map that does n first and then m.
func (m *xform) after(n *xform) xform {
	return xform{
		dot3(m.xx, m.xy, m.xz, n.xx, n.yx, n.zx), dot3(m.xx, m.xy, m.xz, n.xy, n.yy, n.zy), dot3(m.xx, m.xy, m.xz, n.xz, n.yz, n.zz),
		dot3(m.yx, m.yy, m.yz, n.xx, n.yx, n.zx), dot3(m.yx, m.yy, m.yz, n.xy, n.yy, n.zy), dot3(m.yx, m.yy, m.yz, n.xz, n.yz, n.zz),
		dot3(m.zx, m.zy, m.zz, n.xx, n.yx, n.zx), dot3(m.zx, m.zy, m.zz, n.xy, n.yy, n.zy), dot3(m.zx, m.zy, m.zz, n.xz, n.yz, n.zz),
		dot3(m.xx, m.xy, m.xz, n.tx, n.ty, n.tz) + m.tx,
		dot3(m.yx, m.yy, m.yz, n.tx, n.ty, n.tz) + m.ty,
		dot3(m.zx, m.zy, m.zz, n.tx, n.ty, n.tz) + m.tz,
	}
}

// stretch is the factor by which the map changes widths: the root of the
// factor by which it changes areas of the drawing's plane.
func (m *xform) stretch() float64 {
	return math.Sqrt(math.Abs(float64(m.xx*m.yy) - float64(m.xy*m.yx)))
}

// even says whether the map stretches all directions of the drawing's plane
// alike.
func (m *xform) even() bool {
	a := float64(m.xx*m.xx) + float64(m.yx*m.yx)
	b := float64(m.xy*m.xy) + float64(m.yy*m.yy)
	c := float64(m.xx*m.xy) + float64(m.yx*m.yy)
	e := 1e-9 * (a + b)
	return math.Abs(a-b) <= e && math.Abs(c) <= e
}

// plane is the map from the coordinates of an object to those of the world,
// for an object extruded along n. It answers false where n has no direction.
//
// Source: DXF Reference, "Arbitrary Axis Algorithm".
func objectPlane(n xyz) (xform, bool) {
	if n.x == 0 && n.y == 0 && n.z > 0 {
		return scaling(1), true
	}
	length := math.Sqrt(float64(n.x*n.x) + float64(n.y*n.y) + float64(n.z*n.z))
	if !(length > 1e-150) || math.IsInf(length, 0) {
		return xform{}, false
	}
	n = xyz{n.x / length, n.y / length, n.z / length}
	var a xyz
	if math.Abs(n.x) < 1.0/64 && math.Abs(n.y) < 1.0/64 {
		a = xyz{n.z, 0, -n.x} // the world's y axis × n
	} else {
		a = xyz{-n.y, n.x, 0} // the world's z axis × n
	}
	length = math.Sqrt(float64(a.x*a.x) + float64(a.y*a.y) + float64(a.z*a.z))
	a = xyz{a.x / length, a.y / length, a.z / length}
	b := cross(n, a)
	return xform{
		xx: a.x, xy: b.x, xz: n.x,
		yx: a.y, yy: b.y, yz: n.y,
		zx: a.z, zy: b.z, zz: n.z,
	}, true
}

func cross(a, b xyz) xyz {
	return xyz{
		float64(a.y*b.z) - float64(a.z*b.y),
		float64(a.z*b.x) - float64(a.x*b.z),
		float64(a.x*b.y) - float64(a.y*b.x),
	}
}
