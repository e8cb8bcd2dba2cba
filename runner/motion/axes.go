package motion

import (
	"mahlstick/recipe/bed"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// axes converts positions of a brush's tip on the sheet to positions of the
// machine's axes, rounded to the decimals that the machine reads.
type axes struct {
	frame      Frame
	decimals   int
	step       int32 // grid steps per unit of the last decimal
	safe       int32 // safe height, grid steps
	hover      int32 // at most safe
	tipX, tipY int32 // tip offset of the brush, grid steps
	rest       Move  // where the machine waits at pauses and at the end
	lowest     int32 // lowest Z that the machine reaches, grid steps
	surface    *bed.Surface
	stops      Frame       // of the sheet at its stops, by which the surface is asked
	zero       plane.Point // of the first layer, in grid steps
}

func newAxes(brush *model.Brush, sheet *model.Sheet, machine *model.Machine, lie Lie) axes {
	a := axes{frame: NewFrame(sheet, lie), decimals: 3, step: 10, tipX: plane.Snap(brush.TipX), tipY: plane.Snap(brush.TipY)}
	if machine.Decimals >= 4 {
		a.decimals, a.step = 4, 1
	}
	a.stops, a.zero = NewFrame(sheet, Lie{}), lie.zero()
	a.surface, a.lowest = sheet.Surface, a.up(machine.SafeHeight)-plane.Snap(min(machine.ReachZ, limitMM))
	a.safe = a.up(machine.SafeHeight + sheet.Rise())
	a.hover = a.safe
	if machine.Hover > 0 {
		a.hover = min(a.up(machine.Hover+sheet.Rise()), a.safe)
	}
	a.rest = Move{X: a.towardsZero(machine.RestX), Y: a.towardsZero(machine.RestY), Z: max(a.up(machine.RestZ), a.safe)}
	if zero := lie.zero(); zero != (plane.Point{}) {
		reach := a.frame.reach(machine.ReachX, machine.ReachY)
		a.rest.X = a.within(plane.Snap(machine.RestX)+zero.X, reach.Min.X, reach.Max.X)
		a.rest.Y = a.within(plane.Snap(machine.RestY)+zero.Y, reach.Min.Y, reach.Max.Y)
	}
	return a
}

// round rounds grid steps to the machine's decimals, ties away from zero.
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

// towardsZero is like steps, but never farther from zero than the coordinate,
// so that it stays within the reach.
func (a axes) towardsZero(v float64) int32 {
	if v < 0 {
		return -a.down(-v)
	}
	return a.down(v)
}

// within is a coordinate rounded, and kept between two limits, all in grid
// steps.
func (a axes) within(v, low, high int32) int32 {
	v = a.round(min(max(v, low), high))
	for v > high {
		v -= a.step
	}
	for v < low {
		v += a.step
	}
	return v
}

// position is where the machine's axes are when the tip is at a point of the
// sheet.
func (a axes) position(p plane.Point) (x, y int32) {
	q := a.frame.ToMachine(p)
	return a.round(q.X - a.tipX), a.round(q.Y - a.tipY)
}

// paper is the height of the paper below the tip, over that at the place of
// touching off, where the machine's axes are at x and y: all in grid steps, and
// rounded down, so that a light touch does not miss it. The bed does not move with
// the sheet: a place on it is named by what lay there when the sheet was at its
// stops.
func (a axes) paper(x, y int32) int32 {
	if a.surface == nil {
		return 0
	}
	return a.down(a.surface.Height(a.stops.ToSheet(plane.Point{X: x + a.tipX - a.zero.X, Y: y + a.tipY - a.zero.Y}).MM()))
}

// RestOnSheet is the point of the sheet over which the tip of a brush is when
// the machine rests. It is usually outside the sheet.
func RestOnSheet(brush *model.Brush, sheet *model.Sheet, machine *model.Machine, lie Lie) plane.Point {
	a := newAxes(brush, sheet, machine, lie)
	return a.frame.ToSheet(plane.Point{X: a.rest.X + a.tipX, Y: a.rest.Y + a.tipY})
}

// Reachable is the part of the plane of a sheet at its stops, on it and beside
// it, that the tip of a brush can reach.
func Reachable(brush *model.Brush, sheet *model.Sheet, machine *model.Machine) plane.Box {
	a := newAxes(brush, sheet, machine, Lie{})
	r := a.frame.reach(machine.ReachX, machine.ReachY)
	tip := plane.Point{X: a.tipX, Y: a.tipY}
	corner := func(p plane.Point) plane.Point { return a.frame.ToSheet(plane.Point{X: p.X + tip.X, Y: p.Y + tip.Y}) }
	// A step of the last decimal less, because coordinates are rounded.
	return plane.Bounds([]plane.Point{
		corner(plane.Point{X: r.Min.X + a.step, Y: r.Min.Y + a.step}), corner(plane.Point{X: r.Max.X - a.step, Y: r.Max.Y - a.step}),
	})
}
