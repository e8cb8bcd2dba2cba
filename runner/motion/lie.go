package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
	"mahlstick/runner/plane"
)

// Lie is how the sheet lies on the bed while a layer is painted. The zero Lie is
// a sheet at its stops, with the machine's zero at its lay corner.
//
// Strokes are planned on the sheet as it was drawn; only positions are mapped.
// So a sheet that has grown by 0.5 % has marks that are 0.5 % longer and as wide
// as ever, and lags and presses as measured.
type Lie struct {
	// Seat maps the place of a point when the sheet is at its stops to where it
	// was found, both in the machine's axes; nil where the sheet is at its stops.
	Seat *seating.Map
	// ZeroX, ZeroY (mm) is where the zero of the first layer is now, counted from
	// the machine's zero: reach and place to rest move with it.
	ZeroX, ZeroY float64
}

// NewLie is how the sheet lies by a seating; nil is a sheet at its stops.
func NewLie(s *model.Seating) Lie {
	if s == nil {
		return Lie{}
	}
	return Lie{Seat: &s.Fit.Map, ZeroX: s.ZeroX, ZeroY: s.ZeroY}
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

// AsLaid is what lay at a place of the bed when the sheet was at its stops, of a point
// of the sheet that is there now. Heights of the bed go by that.
func AsLaid(p plane.Point, sheet *model.Sheet, lie Lie) plane.Point {
	at, zero := NewFrame(sheet, lie).ToMachine(p), lie.zero()
	return NewFrame(sheet, Lie{}).ToSheet(plane.Point{X: at.X - zero.X, Y: at.Y - zero.Y})
}

// zero is the place of the first layer's zero, in grid steps.
func (l Lie) zero() plane.Point { return plane.At(l.ZeroX, l.ZeroY) }
