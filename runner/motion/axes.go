package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// axes converts positions of a brush's tip on the sheet to positions of the
// machine's axes, rounded to the decimals that the machine reads.
type axes struct {
	frame      Frame
	decimals   int
	step       int32 // grid steps in the last decimal
	safe       int32 // safe height, grid steps
	tipX, tipY int32 // tip offset of the brush, grid steps
}

func newAxes(brush *model.Brush, sheet *model.Sheet, machine *model.Machine) axes {
	a := axes{frame: NewFrame(sheet), decimals: 3, step: 10, tipX: plane.Snap(brush.TipX), tipY: plane.Snap(brush.TipY)}
	if machine.Decimals >= 4 {
		a.decimals, a.step = 4, 1
	}
	a.safe = a.up(machine.SafeHeight)
	return a
}

// round rounds grid steps to the machine's decimals, halves away from zero.
func (a axes) round(v int32) int32 {
	if v < 0 {
		return -((-v + a.step/2) / a.step * a.step)
	}
	return (v + a.step/2) / a.step * a.step
}

// steps is a length in mm in grid steps, rounded to the machine's decimals.
func (a axes) steps(v float64) int32 { return a.round(plane.Snap(v)) }

// up is like steps, but never less than the length.
func (a axes) up(v float64) int32 {
	n := a.steps(v)
	for plane.MM(n) < v {
		n += a.step
	}
	return n
}

// down is like steps, but never more than the length.
func (a axes) down(v float64) int32 {
	n := a.steps(v)
	for plane.MM(n) > v {
		n -= a.step
	}
	return n
}

// position is where the machine's axes are when the tip is at a point of the
// sheet.
func (a axes) position(p plane.Point) (x, y int32) {
	q := a.frame.ToMachine(p)
	return a.round(q.X - a.tipX), a.round(q.Y - a.tipY)
}
