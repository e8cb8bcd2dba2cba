package intake

import (
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/covering"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/vector"
)

// muchCovered is the share of a layer that later shapes of the drawing may cover
// without a warning.
const muchCovered = 0.2

// coveredShapes warns of a layer of chosen colours much of which lies under later
// shapes of the drawing, and that does not say whether it is to be painted.
func (p *placing) coveredShapes(job *model.Job, zero vector.XY) problem.List {
	m := p.Model
	if !m.DrawingColours.Chosen() || m.CoveredStated || p.Contours == nil {
		return nil
	}
	leaving := *m
	leaving.Covered = model.LeaveCovered
	placed, contours, found := register.PlaceAt(p.Drawing, &leaving, job.Marks, &job.Sheet, zero)
	if found.HasErrors() {
		return nil
	}
	// A closed outline without a fill may be meant as a line.
	covers := slices.DeleteFunc(placed.Covers, func(c register.Cover) bool { return !c.IsArea() })
	hidden, drawn, _, ok := covering.Measure(contours, covers, m.Outlines == model.AsLines, region.Options{Strokes: m.Inside == model.Strokes}, m.Tolerance)
	if !ok || !(drawn > 0 && hidden.Area > muchCovered*drawn) {
		return nil
	}
	var problems problem.List
	problems.Warnf(problem.CoveredShapes, m.DrawingColours.Place,
		problem.Advise("write leave in the column covered, and what is covered stays bare; write paint there if it is intended"),
		"the layer %q is painted whole, but %s of it lies under later shapes of %s", m.Name, format.Plain.Unit(format.Plain.Number(100*hidden.Area/drawn, 0), "%"), m.Drawing)
	return problems
}
