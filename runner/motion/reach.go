package motion

import (
	"fmt"
	"math"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// fault keeps the worst of one kind, and how many strokes have it.
type fault struct {
	n      int     // strokes
	last   int     // number of the last of them
	by     float64 // mm
	where  string  // the side, or the axis
	value  float64 // mm, on that axis
	stroke int     // number of the worst
	at     stroke.Point
	place  source.Place
}

func (f *fault) add(by float64, where string, value float64, s *Stroke, at stroke.Point) {
	if by <= 0 {
		return
	}
	if f.last != s.Number {
		f.n, f.last = f.n+1, s.Number
	}
	if by > f.by {
		f.by, f.where, f.value, f.stroke, f.at, f.place = by, where, value, s.Number, at, s.Place
	}
}

type faults struct{ press, sheet, ahead, reach, depth fault }

// Slack (mm) that a mark may take past the margin besides the layer's
// tolerance: its points lie on the grid.
const gridSlack = 0.001

// check looks whether a stroke presses past the safe press, leaves the sheet
// or leaves the machine's reach, or whether the brush is led off the sheet.
func (m *maker) check(g stroke.Gesture, way []lagcomp.Step, s *Stroke) {
	margin, slack := m.sheet.Margin, m.layer.Tolerance+gridSlack
	if g.Kind == stroke.Check { // may stand in the margin
		margin, slack = 0, 0
	}
	for _, p := range g.Points {
		m.faults.press.add(p.Press-m.layer.Brush.SafePress, "", 0, s, p)
		x, y, half := plane.MM(p.X), plane.MM(p.Y), p.Width/2
		m.faults.sheet.add(margin-(x-half)-slack, "left", 0, s, p)
		m.faults.sheet.add(x+half-(m.sheet.Width-margin)-slack, "right", 0, s, p)
		m.faults.sheet.add(margin-(y-half)-slack, "lower", 0, s, p)
		m.faults.sheet.add(y+half-(m.sheet.Height-margin)-slack, "upper", 0, s, p)
	}
	if m.layer.Brush.Lag.Known() {
		for _, step := range way {
			x, y := plane.MM(step.Axis.X), plane.MM(step.Axis.Y)
			m.faults.ahead.add(-x, "left", 0, s, step.Mark)
			m.faults.ahead.add(x-m.sheet.Width, "right", 0, s, step.Mark)
			m.faults.ahead.add(-y, "lower", 0, s, step.Mark)
			m.faults.ahead.add(y-m.sheet.Height, "upper", 0, s, step.Mark)
		}
	}
	reach := m.frame.reach(m.machine.ReachX, m.machine.ReachY)
	for _, v := range s.Moves {
		x, y, z := plane.MM(v.X), plane.MM(v.Y), plane.MM(v.Z)
		q := m.frame.ToSheet(plane.Point{X: v.X + m.tipX, Y: v.Y + m.tipY})
		at := stroke.Point{X: q.X, Y: q.Y}
		m.faults.reach.add(plane.MM(reach.Min.X)-x, "X", x, s, at)
		m.faults.reach.add(x-plane.MM(reach.Max.X), "X", x, s, at)
		m.faults.reach.add(plane.MM(reach.Min.Y)-y, "Y", y, s, at)
		m.faults.reach.add(y-plane.MM(reach.Max.Y), "Y", y, s, at)
		m.faults.depth.add(plane.MM(m.safe)-z-m.machine.ReachZ, "Z", z, s, at)
	}
}

// report turns what check found into problems, one of each kind.
func (m *maker) report() {
	add := func(f fault, code problem.Code, message, advice string, related source.Place, note string) {
		if f.n == 0 {
			return
		}
		message += fmt.Sprintf(", in stroke %s at %s mm, %s mm on the sheet", ordinal(f), mm(plane.MM(f.at.X)), mm(plane.MM(f.at.Y)))
		place := f.place
		if !place.Known() {
			place = m.layer.Place
		}
		m.problems.Add(problem.Problem{Code: code, Place: place, Message: message, Fix: problem.Advise(advice),
			Related: []problem.Related{{Place: related, Note: note}}})
	}
	f := m.faults
	add(f.press, problem.PastSafePress,
		fmt.Sprintf("the layer %q presses %s mm past the safe press of %s mm", m.layer.Name, mm(f.press.by), mm(m.layer.Brush.SafePress)),
		"draw the place narrower, or take a wider brush", m.layer.Brush.Place, "the brush")
	add(f.sheet, problem.OffSheet,
		fmt.Sprintf("the mark of the layer %q reaches %s mm past the %s margin", m.layer.Name, mm(f.sheet.by), f.sheet.where),
		m.sheetAdvice(), m.sheet.Place, "the sheet")
	add(f.ahead, problem.OffSheet,
		fmt.Sprintf("the brush of the layer %q, led up to %s mm ahead of its mark, reaches %s mm past the %s edge of the sheet",
			m.layer.Name, mm(m.layer.Brush.Lag.Most()), mm(f.ahead.by), f.ahead.where),
		"move the shape away from the edge, or take a larger sheet or a wider margin", m.sheet.Place, "the sheet")
	add(f.reach, problem.OutOfReach,
		fmt.Sprintf("the layer %q needs %s, %s mm beyond the reach of %s mm in X and %s mm in Y",
			m.layer.Name, f.reach.where+mm(f.reach.value), mm(f.reach.by), mm(m.machine.ReachX), mm(m.machine.ReachY)),
		"turn the sheet on the bed, choose another lay corner, or paint a smaller picture; mind the tip offset of the brush",
		m.machine.Place, "the machine")
	add(f.depth, problem.OutOfReach,
		fmt.Sprintf("the layer %q needs %s, %s mm lower than the %s mm that the machine reaches from its safe height of %s mm",
			m.layer.Name, f.depth.where+mm(f.depth.value), mm(f.depth.by), mm(m.machine.ReachZ), mm(plane.MM(m.safe))),
		"lower the safe height as far as clamps and tape allow, or mount the brush lower",
		m.machine.Place, "the machine")
}

// sheetAdvice says what helps where a mark reaches past the margin. In a corner as
// drawn the lightest touch may be what does, being wider than the tip there.
func (m *maker) sheetAdvice() string {
	f := m.faults.sheet
	if lightest, _ := m.layer.Brush.Curve.Range(); f.at.Width > lightest+gridSlack || !m.layer.Hairlines {
		return "move the shape, make it narrower, or take a larger sheet or a smaller margin"
	}
	return fmt.Sprintf("the lightest touch is wider than the shape here: write leave in the layer's column hairlines, "+
		"or move the shape %s mm away from the margin",
		mm(math.Ceil(float64((f.by+gridSlack)*100))/100))
}

func ordinal(f fault) string {
	if f.n == 1 {
		return strconv.Itoa(f.stroke)
	}
	return fmt.Sprintf("%d and %d more", f.stroke, f.n-1)
}

// mm prints a length with at most three decimals.
func mm(v float64) string {
	return format.Plain.Number(v, 3)
}
