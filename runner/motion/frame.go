package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// Frame converts between the sheet and the machine's axes: the sheet is turned
// by quarter turns, and its lay corner is at the machine's zero. Machine X runs
// to the right and Y away from whoever stands in front of the bed. The
// conversion is exact and never mirrors.
type Frame struct {
	turned        int
	width, height int32 // of the sheet as drawn, in grid steps
	lay           plane.Point
}

// NewFrame is the frame of a sheet.
func NewFrame(s *model.Sheet) Frame {
	f := Frame{turned: ((s.Turned % 4) + 4) % 4, width: plane.Snap(s.Width), height: plane.Snap(s.Height)}
	corner := plane.Point{}
	if s.Lay == model.LowerRight || s.Lay == model.UpperRight {
		corner.X = f.width
	}
	if s.Lay == model.UpperLeft || s.Lay == model.UpperRight {
		corner.Y = f.height
	}
	f.lay = f.turn(corner)
	return f
}

// turn turns a point of the sheet by the quarter turns, so that the turned
// sheet has its lower left corner at zero.
func (f Frame) turn(p plane.Point) plane.Point {
	switch f.turned {
	case 1:
		return plane.Point{X: f.height - p.Y, Y: p.X}
	case 2:
		return plane.Point{X: f.width - p.X, Y: f.height - p.Y}
	case 3:
		return plane.Point{X: p.Y, Y: f.width - p.X}
	default:
		return p
	}
}

// ToMachine converts a point of the sheet to the machine's axes.
func (f Frame) ToMachine(p plane.Point) plane.Point {
	q := f.turn(p)
	return plane.Point{X: q.X - f.lay.X, Y: q.Y - f.lay.Y}
}

// ToSheet is the inverse of ToMachine.
func (f Frame) ToSheet(p plane.Point) plane.Point {
	x, y := p.X+f.lay.X, p.Y+f.lay.Y
	switch f.turned {
	case 1:
		return plane.Point{X: y, Y: f.height - x}
	case 2:
		return plane.Point{X: f.width - x, Y: f.height - y}
	case 3:
		return plane.Point{X: f.width - y, Y: x}
	default:
		return plane.Point{X: x, Y: y}
	}
}

// Sheet is the box that the sheet covers in the machine's axes.
func (f Frame) Sheet() plane.Box {
	return plane.Bounds([]plane.Point{f.ToMachine(plane.Point{}), f.ToMachine(plane.Point{X: f.width, Y: f.height})})
}

// reach is the box that the machine's axes can reach: from its zero, reachX
// and reachY mm towards the side on which the sheet lies.
func (f Frame) reach(reachX, reachY float64) plane.Box {
	sheet := f.Sheet()
	b := plane.Box{Max: plane.At(min(reachX, limitMM), min(reachY, limitMM))}
	if sheet.Max.X <= 0 {
		b.Min.X, b.Max.X = -b.Max.X, 0
	}
	if sheet.Max.Y <= 0 {
		b.Min.Y, b.Max.Y = -b.Max.Y, 0
	}
	return b
}

// limitMM is the largest coordinate on the grid, in mm.
const limitMM = plane.Limit / plane.PerMM
