package recipe

import (
	"fmt"
	"math"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// clamps reads what stands in the way of brush and holder.
type clamps struct{ a *assembler }

// maxClamps bounds the work of finding ways round them.
const maxClamps = 40

// read reads the clamps. Sheet and machine are there already.
func (c clamps) read() {
	a := c.a
	for _, r := range a.recipe.Clamps {
		if !r.Complete {
			continue
		}
		name := r.Cells["clamp"].Source
		m := model.Clamp{Name: norm.NFC.String(name.String), Place: name.Place}
		a.facts.record(r, m.Name)
		known, wider, longer := true, 0.0, 0.0
		for _, cell := range []struct {
			word string
			to   *float64
		}{{"x", &m.X}, {"y", &m.Y}, {"width", &m.Width}, {"length", &m.Length}, {"height", &m.Height}} {
			q, ok := a.values.Quantity(r.Cells[cell.word])
			if known = known && ok; ok {
				*cell.to = q.In(quantity.MM)
			}
			switch u := q.U(quantity.MM); cell.word { // uncertainty makes it larger
			case "x":
				m.X, wider = m.X-u, float64(2*u)
			case "y":
				m.Y, longer = m.Y-u, float64(2*u)
			default:
				*cell.to += u
			}
		}
		m.Width, m.Length = m.Width+wider, m.Length+longer
		if !known {
			continue
		}
		if on := r.Cells["on"]; on != nil {
			m.OnBed = on.Word == "bed"
		}
		if len(a.job.Sheet.Clamps) == maxClamps {
			a.problems.Errorf(problem.TooMany, m.Place, problem.Advise("write clamps that stand side by side as one"), "Clamps has more than %d rows", maxClamps)
			break
		}
		if !c.outOfReach(&m) {
			a.job.Sheet.Clamps = append(a.job.Sheet.Clamps, m)
		}
	}
	c.checkHolder()
}

// checkHolder wants the width of the holder where there are clamps.
func (c clamps) checkHolder() {
	a := c.a
	if len(a.recipe.Clamps) == 0 || a.recipe.Machine == nil || a.job.Machine.Holder > 0 {
		return
	}
	if cell, _ := a.recipe.Machine.Find("holder"); cell != nil {
		return // it has a problem of its own
	}
	row := a.recipe.Machine.Schema.Find("holder")
	a.problems.Add(problem.Problem{Code: problem.MissingRow, Place: a.recipe.Machine.Place, Fix: problem.Advise("add the row holder: " + row.Measure),
		Message: "with Clamps, the machine needs the row \"holder\"", Related: []problem.Related{{Place: a.recipe.Clamps[0].Row.Place, Note: "the first clamp"}}})
}

// outOfReach reports a clamp where neither brush nor holder ever comes: a number
// is wrong.
func (c clamps) outOfReach(m *model.Clamp) bool {
	a := c.a
	sheet, machine := &a.job.Sheet, &a.job.Machine
	if sheet.Width == 0 || machine.ReachX == 0 || machine.ReachY == 0 { // reported
		return false
	}
	lowX, lowY, highX, highY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range m.Corners() {
		x, y := p[0], p[1]
		if !m.OnBed {
			x, y = sheet.OnBed(x, y)
		}
		lowX, lowY, highX, highY = min(lowX, x), min(lowY, y), max(highX, x), max(highY, y)
	}
	bed, half := placeOnBed(sheet), machine.Holder/2+model.ClampClear
	fromX, toX := min(0, bed.x*machine.ReachX)-half, max(0, bed.x*machine.ReachX)+half
	fromY, toY := min(0, bed.y*machine.ReachY)-half, max(0, bed.y*machine.ReachY)+half
	if highX > fromX && lowX < toX && highY > fromY && lowY < toY {
		return false
	}
	a.problems.Add(problem.Problem{Code: problem.OutOfReach, Place: m.Place, Fix: problem.Advise("correct its x and y, or leave it out"),
		Message: fmt.Sprintf("the clamp %q, at X %s to %s and Y %s to %s on the bed, is outside the machine's reach", m.Name, shortMM(lowX), shortMM(highX), shortMM(lowY), shortMM(highY)),
		Related: []problem.Related{{Place: machine.Place, Note: "the machine"}}})
	return true
}
