package motion

import "mahlstick/runner/plane"

// Lie is how the sheet lies on the bed while a layer is painted. The zero Lie is
// a sheet at its stops, with the machine's zero at its lay corner.
//
// Strokes are planned on the sheet as it was drawn; only positions are mapped.
// So a sheet that has grown by 0.5 % has marks that are 0.5 % longer and as wide
// as ever, and lags and presses as measured.
type Lie struct {
	Seat *Seat // nil where the sheet is where it was laid
	// ZeroX, ZeroY (mm) is where the zero of the first layer is now, counted from
	// the machine's zero: reach and place to rest move with it.
	ZeroX, ZeroY float64
}

// Seat maps the place that a point of the sheet has when the sheet is at its
// stops to the place where it was found, both in the machine's axes:
// x' = XX·x + XY·y + X, y' = YX·x + YY·y + Y, in mm.
type Seat struct{ XX, XY, YX, YY, X, Y float64 }

// At maps a point in mm.
func (s *Seat) At(x, y float64) (float64, float64) {
	return float64(s.XX*x) + float64(s.XY*y) + s.X, float64(s.YX*x) + float64(s.YY*y) + s.Y
}

// Back is the inverse of At.
func (s *Seat) Back(x, y float64) (float64, float64) {
	x, y = x-s.X, y-s.Y
	det := float64(s.XX*s.YY) - float64(s.XY*s.YX)
	return (float64(s.YY*x) - float64(s.XY*y)) / det, (float64(s.XX*y) - float64(s.YX*x)) / det
}

// found is where a point that would be at p, if the sheet were at its stops, is.
func (l Lie) found(p plane.Point) plane.Point {
	if l.Seat == nil {
		return p
	}
	return plane.At(l.Seat.At(plane.MM(p.X), plane.MM(p.Y)))
}

// stopped is the inverse of found.
func (l Lie) stopped(p plane.Point) plane.Point {
	if l.Seat == nil {
		return p
	}
	return plane.At(l.Seat.Back(plane.MM(p.X), plane.MM(p.Y)))
}

// zero is the place of the first layer's zero, in grid steps.
func (l Lie) zero() plane.Point { return plane.At(l.ZeroX, l.ZeroY) }
