package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// Frame converts between the sheet and the machine's axes: the sheet is turned
// by quarter turns, and its lay corner is at the machine's zero, or the sheet
// lies where its seating says. Machine X runs to the right and Y away from
// whoever stands in front of the bed. The conversion never mirrors; for a sheet
// at its stops it is exact.
type Frame struct {
	turned        int
	width, height int32 // of the sheet as drawn, in grid steps
	lay           plane.Point
	lie           Lie
}

// NewFrame is the frame of a sheet that lies as lie says.
func NewFrame(s *model.Sheet, lie Lie) Frame {
	f := Frame{lie: lie, turned: ((s.Turned % 4) + 4) % 4, width: plane.Snap(s.Width), height: plane.Snap(s.Height)}
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
	return f.lie.found(plane.Point{X: q.X - f.lay.X, Y: q.Y - f.lay.Y})
}

// ToSheet is the inverse of ToMachine.
func (f Frame) ToSheet(p plane.Point) plane.Point {
	p = f.lie.stopped(p)
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

// Sheet is the box around the sheet in the machine's axes.
func (f Frame) Sheet() plane.Box {
	var corners []plane.Point
	for _, x := range [...]int32{0, f.width} {
		for _, y := range [...]int32{0, f.height} {
			corners = append(corners, f.ToMachine(plane.Point{X: x, Y: y}))
		}
	}
	return plane.Bounds(corners)
}

// reach is the box that the machine's axes can reach: from the zero of the first
// layer, reachX and reachY mm towards the side on which the sheet was laid.
func (f Frame) reach(reachX, reachY float64) plane.Box {
	zero := f.lie.zero()
	f.lie = Lie{}
	sheet := f.Sheet()
	b := plane.Box{Max: plane.At(min(reachX, limitMM), min(reachY, limitMM))}
	if sheet.Max.X <= 0 {
		b.Min.X, b.Max.X = -b.Max.X, 0
	}
	if sheet.Max.Y <= 0 {
		b.Min.Y, b.Max.Y = -b.Max.Y, 0
	}
	if zero == (plane.Point{}) {
		return b
	}
	// A grid step less, because the zero was rounded to the grid.
	return plane.Box{Min: plane.Point{X: b.Min.X + zero.X + 1, Y: b.Min.Y + zero.Y + 1}, Max: plane.Point{X: b.Max.X + zero.X - 1, Y: b.Max.Y + zero.Y - 1}}
}

// limitMM is the largest coordinate on the grid, in mm.
const limitMM = plane.Limit / plane.PerMM
