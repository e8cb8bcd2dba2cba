package runner

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
	"mahlstick/runner/template"
)

// unitByMark looks, where a drawing could not be read for its unit alone,
// whether the marks tell the unit: whether in one unit, and in no other, they
// are found in their size. It then says what to write in the recipe. All is told
// at the layer's line, as that is what mends it.
func (l *Layer) unitByMark(file *source.File, options drawing.Options, job *model.Job, problems problem.List) problem.List {
	var out problem.List
	var fault *problem.Problem
	for i, p := range problems {
		switch {
		case p.Severity != problem.Error:
			out = append(out, p)
		case p.Code != problem.NoUnit && p.Code != problem.BeyondReach:
			return problems
		case fault == nil:
			fault = &problems[i]
		}
	}
	if fault == nil {
		return problems
	}
	var names []string
	write := ""
	for _, u := range drawing.LikelyUnits() {
		if len(job.Marks) == 0 {
			break
		}
		try := options
		try.Unit = u
		d, found := drawing.Read(file, try)
		if d == nil || found.HasErrors() {
			continue
		}
		template.PassOver(d)
		if _, contours, faults := register.Place(d, l.Model, job.Marks, &job.Sheet); contours != nil && !faults.HasErrors() {
			names = append(names, u.Name)
			write = d.WriteUnit(u.Name)
		}
	}
	p := *fault
	if len(names) != 1 && p.Code != problem.NoUnit {
		return problems
	}
	p.Related = append([]problem.Related{{Place: p.Place, Note: "the drawing"}}, p.Related...)
	p.Place = l.Model.DrawingPlace
	if at := l.Model.Unit.Place; at.Known() {
		p.Place = at
	}
	if len(names) == 1 {
		p.Message += "; by its mark it is in " + names[0]
		p.Fix = problem.Advise("in the column unit of this layer, write: " + write)
		if l.Model.Unit.Place.Known() {
			p.Fix = problem.Write(write)
		}
	}
	return append(out, p)
}
