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

// violation is the worst violation of one limit, and how many strokes have one.
type violation struct {
	n      int     // strokes
	last   int     // number of the last of them
	by     float64 // mm beyond the limit
	where  string  // the side of the sheet, or the axis
	value  float64 // mm, on that axis
	stroke int     // number of the worst
	at     stroke.Point
	place  source.Place
}

// add records a violation; by is 0 or less if there is none.
func (v *violation) add(by float64, where string, value float64, s *Stroke, at stroke.Point) {
	if by <= 0 {
		return
	}
	if v.last != s.Number {
		v.n, v.last = v.n+1, s.Number
	}
	if by > v.by {
		v.by, v.where, v.value, v.stroke, v.at, v.place = by, where, value, s.Number, at, s.Place
	}
}

// violations are the worst violations of a layer, by limit.
type violations struct {
	press, sheet, ahead, reach, depth violation
	clamps                            []violation
	visited                           bool // a clamp in the way to a well is reported
	hits                              int  // moves in the way of which there is a clamp
}

// gridSlack is how far (mm) a mark may reach past the margin in addition to the
// layer's tolerance: its points are rounded to the grid.
const gridSlack = 0.001

// pressSlack is by how much (mm) a press may be deeper than the deepest because
// it was found from a width; the program rounds it towards the paper.
const pressSlack = 1e-9

// check records where a stroke goes deeper than the safe press, leaves the
// sheet or its margin, or leaves the machine's reach, and where the axis,
// ahead of the mark, leaves the sheet.
func (m *planner) check(g stroke.Gesture, path []lagcomp.Step, s *Stroke) {
	clamped{m}.meets(s)
	margin, slack := m.sheet.Margin, m.layer.Tolerance+gridSlack
	if !g.Kind.OfPicture() { // may be painted in the margin
		margin, slack = 0, 0
	}
	for _, p := range g.Points {
		m.worst.press.add(p.Press-m.layer.Brush.DeepestPress()-pressSlack, "", 0, s, p)
		x, y, half := plane.MM(p.X), plane.MM(p.Y), p.Width/2
		m.worst.sheet.add(margin-(x-half)-slack, "left", 0, s, p)
		m.worst.sheet.add(x+half-(m.sheet.Width-margin)-slack, "right", 0, s, p)
		m.worst.sheet.add(margin-(y-half)-slack, "lower", 0, s, p)
		m.worst.sheet.add(y+half-(m.sheet.Height-margin)-slack, "upper", 0, s, p)
	}
	if m.layer.Brush.Lag.Known() {
		for _, step := range path {
			x, y := plane.MM(step.Axis.X), plane.MM(step.Axis.Y)
			m.worst.ahead.add(-x, "left", 0, s, step.Mark)
			m.worst.ahead.add(x-m.sheet.Width, "right", 0, s, step.Mark)
			m.worst.ahead.add(-y, "lower", 0, s, step.Mark)
			m.worst.ahead.add(y-m.sheet.Height, "upper", 0, s, step.Mark)
		}
	}
	reach := m.axes.frame.reach(m.machine.ReachX, m.machine.ReachY)
	for _, v := range s.Moves {
		x, y, z := plane.MM(v.X), plane.MM(v.Y), plane.MM(v.Z)
		q := m.axes.frame.ToSheet(plane.Point{X: v.X + m.axes.tipX, Y: v.Y + m.axes.tipY})
		at := stroke.Point{X: q.X, Y: q.Y}
		m.worst.reach.add(plane.MM(reach.Min.X)-x, "X", x, s, at)
		m.worst.reach.add(x-plane.MM(reach.Max.X), "X", x, s, at)
		m.worst.reach.add(plane.MM(reach.Min.Y)-y, "Y", y, s, at)
		m.worst.reach.add(y-plane.MM(reach.Max.Y), "Y", y, s, at)
		m.worst.depth.add(plane.MM(m.axes.lowest)-z, "Z", z, s, at)
	}
}

// report turns what check recorded into problems, one for each limit.
func (m *planner) report() {
	clamped{m}.report()
	add := func(v violation, code problem.Code, message, advice string, related source.Place, note string) {
		if v.n == 0 {
			return
		}
		message += fmt.Sprintf(", in stroke %s at %s mm, %s mm on the sheet", strokeNumbers(v), mm(plane.MM(v.at.X)), mm(plane.MM(v.at.Y)))
		place := v.place
		if !place.Known() {
			place = m.layer.Place
		}
		m.problems.Add(problem.Problem{Code: code, Place: place, Message: message, Fix: problem.Advise(advice),
			Related: []problem.Related{{Place: related, Note: note}}})
	}
	v := m.worst
	add(v.press, problem.PastSafePress,
		fmt.Sprintf("the layer %q presses %s mm deeper than %s mm, the safe press less the reserve", m.layer.Name, mm(v.press.by), mm(m.layer.Brush.DeepestPress())),
		"draw the place narrower, or take a wider brush", m.layer.Brush.Place, "the brush")
	add(v.sheet, problem.OffSheet,
		fmt.Sprintf("the mark of the layer %q reaches %s mm past the %s margin", m.layer.Name, mm(v.sheet.by), v.sheet.where),
		m.sheetAdvice(), m.sheet.Place, "the sheet")
	add(v.ahead, problem.OffSheet,
		fmt.Sprintf("the brush of the layer %q, led up to %s mm ahead of its mark, reaches %s mm past the %s edge of the sheet",
			m.layer.Name, mm(m.layer.Brush.Lag.Max()), mm(v.ahead.by), v.ahead.where),
		"move the shape away from the edge, or take a larger sheet or a wider margin", m.sheet.Place, "the sheet")
	add(v.reach, problem.OutOfReach,
		fmt.Sprintf("the layer %q needs %s, %s mm beyond the reach of %s mm in X and %s mm in Y",
			m.layer.Name, v.reach.where+mm(v.reach.value), mm(v.reach.by), mm(m.machine.ReachX), mm(m.machine.ReachY)),
		"turn the sheet on the bed, choose another lay corner, or paint a smaller picture; mind the tip offset of the brush",
		m.machine.Place, "the machine")
	add(v.depth, problem.OutOfReach,
		fmt.Sprintf("the layer %q needs %s, %s mm lower than the %s mm that the machine reaches from its safe height of %s mm",
			m.layer.Name, v.depth.where+mm(v.depth.value), mm(v.depth.by), mm(m.machine.ReachZ), mm(m.machine.SafeHeight)),
		"lower the safe height as far as clamps and tape allow, or mount the brush lower",
		m.machine.Place, "the machine")
}

// sheetAdvice is the fix for a mark that reaches past the margin. In a sharp
// corner the cause may be the lightest touch, which is wider than the shape.
func (m *planner) sheetAdvice() string {
	v := m.worst.sheet
	if lightest, _ := m.layer.Brush.Curve.Range(); v.at.Width > lightest+gridSlack || !m.layer.Hairlines {
		return "move the shape, make it narrower, or take a larger sheet or a smaller margin"
	}
	return fmt.Sprintf("the lightest touch is wider than the shape here: write leave in the layer's column hairlines, "+
		"or move the shape %s mm away from the margin",
		mm(math.Ceil(float64((v.by+gridSlack)*100))/100))
}

// strokeNumbers names the worst stroke and counts the others.
func strokeNumbers(v violation) string {
	if v.n == 1 {
		return strconv.Itoa(v.stroke)
	}
	return fmt.Sprintf("%d and %d more", v.stroke, v.n-1)
}

// mm prints a length with at most three decimals.
func mm(v float64) string {
	return format.Plain.Number(v, 3)
}
