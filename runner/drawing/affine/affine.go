// Package affine has affine maps of space, which place what is drawn.
package affine

import (
	"math"

	"mahlstick/runner/vector"
)

// Map is an affine map of space. A drawing is seen from straight above, so only
// x and y of the result are ever drawn.
//
// Products are rounded before they are added, so that the last bits do not
// depend on the processor.
type Map struct {
	XX, XY, XZ float64
	YX, YY, YZ float64
	ZX, ZY, ZZ float64
	TX, TY, TZ float64
}

// Scale stretches space by s.
func Scale(s float64) Map { return Map{XX: s, YY: s, ZZ: s} }

// Shift moves space.
func Shift(x, y, z float64) Map { return Map{XX: 1, YY: 1, ZZ: 1, TX: x, TY: y, TZ: z} }

// Flat is the map of the plane x' = ax + cy + e, y' = bx + dy + f.
func Flat(a, b, c, d, e, f float64) Map {
	return Map{XX: a, YX: b, XY: c, YY: d, TX: e, TY: f, ZZ: 1}
}

// At maps a point and looks at it from above.
func (m *Map) At(p vector.XYZ) vector.XY {
	return vector.XY{
		X: float64(m.XX*p.X) + float64(m.XY*p.Y) + float64(m.XZ*p.Z) + m.TX,
		Y: float64(m.YX*p.X) + float64(m.YY*p.Y) + float64(m.YZ*p.Z) + m.TY,
	}
}

// Along maps a direction and looks at it from above.
func (m *Map) Along(p vector.XYZ) vector.XY {
	return vector.XY{
		X: float64(m.XX*p.X) + float64(m.XY*p.Y) + float64(m.XZ*p.Z),
		Y: float64(m.YX*p.X) + float64(m.YY*p.Y) + float64(m.YZ*p.Z),
	}
}

// After is the map that does n first and then m.
func (m *Map) After(n *Map) Map {
	dot := func(a, b, c, x, y, z float64) float64 {
		return float64(a*x) + float64(b*y) + float64(c*z)
	}
	return Map{
		dot(m.XX, m.XY, m.XZ, n.XX, n.YX, n.ZX), dot(m.XX, m.XY, m.XZ, n.XY, n.YY, n.ZY), dot(m.XX, m.XY, m.XZ, n.XZ, n.YZ, n.ZZ),
		dot(m.YX, m.YY, m.YZ, n.XX, n.YX, n.ZX), dot(m.YX, m.YY, m.YZ, n.XY, n.YY, n.ZY), dot(m.YX, m.YY, m.YZ, n.XZ, n.YZ, n.ZZ),
		dot(m.ZX, m.ZY, m.ZZ, n.XX, n.YX, n.ZX), dot(m.ZX, m.ZY, m.ZZ, n.XY, n.YY, n.ZY), dot(m.ZX, m.ZY, m.ZZ, n.XZ, n.YZ, n.ZZ),
		dot(m.XX, m.XY, m.XZ, n.TX, n.TY, n.TZ) + m.TX,
		dot(m.YX, m.YY, m.YZ, n.TX, n.TY, n.TZ) + m.TY,
		dot(m.ZX, m.ZY, m.ZZ, n.TX, n.TY, n.TZ) + m.TZ,
	}
}

// Stretch is the factor by which the map changes widths: the root of the
// factor by which it changes areas of the drawing's plane.
func (m *Map) Stretch() float64 {
	return math.Sqrt(math.Abs(float64(m.XX*m.YY) - float64(m.XY*m.YX)))
}

// Even says whether the map stretches all directions of the drawing's plane
// alike.
func (m *Map) Even() bool {
	a := float64(m.XX*m.XX) + float64(m.YX*m.YX)
	b := float64(m.XY*m.XY) + float64(m.YY*m.YY)
	c := float64(m.XX*m.XY) + float64(m.YX*m.YY)
	e := 1e-9 * (a + b)
	return math.Abs(a-b) <= e && math.Abs(c) <= e
}
