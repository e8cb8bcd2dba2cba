// Package align finds how a scan lies on the sheet of a job: from the painted
// things whose places are known, the map between pixels and mm on the sheet, with a
// scale for each axis, turn and shear.
package align

import "mahlstick/runner/vector"

// Path is a painted stroke as a job asks for it: in mm on the sheet, x to the right
// and y up. From each point to the next, place and width change evenly.
type Path struct {
	Program int // which program paints it, from 0: all of its marks may be moved alike
	Points  []Point
}

// Point is a point of a path, with the width of the mark there in mm.
type Point struct {
	vector.XY
	Width float64
}

// Map is the affine map from mm on the sheet to pixels of the scan, x to the right
// and y down, counted from the corner of the first pixel.
type Map struct {
	XX, XY, X0 float64 // x of the pixel = XX·x + XY·y + X0
	YX, YY, Y0 float64 // y of the pixel = YX·x + YY·y + Y0
}

// Pixel is where a point of the sheet lies in the scan.
func (m Map) Pixel(p vector.XY) vector.XY {
	return vector.XY{X: float64(m.XX*p.X) + float64(m.XY*p.Y) + m.X0, Y: float64(m.YX*p.X) + float64(m.YY*p.Y) + m.Y0}
}

// Sheet is where a pixel of the scan lies on the sheet.
func (m Map) Sheet(p vector.XY) vector.XY {
	x, y, det := p.X-m.X0, p.Y-m.Y0, m.det()
	return vector.XY{X: (float64(m.YY*x) - float64(m.XY*y)) / det, Y: (float64(m.XX*y) - float64(m.YX*x)) / det}
}

func (m Map) det() float64 { return float64(m.XX*m.YY) - float64(m.XY*m.YX) }
