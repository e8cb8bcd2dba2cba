package intake

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
)

// unitByMark looks for the unit of a drawing that has no other problem than its
// unit. The marks show it if their sizes are right in one likely unit and in no
// other. The problem then says what to write, and its place is the layer's row
// in the recipe, because the fix belongs there.
func unitByMark(file *reading, options drawing.Options, layer *model.Layer, job *model.Job, problems problem.List) problem.List {
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
	fitting, write := unitsOfMarks(file, options, layer, job)
	p := *fault
	if len(fitting) != 1 && p.Code != problem.NoUnit {
		return problems
	}
	p.Related = append([]problem.Related{{Place: p.Place, Note: "the drawing"}}, p.Related...)
	p.Place = layer.DrawingPlace
	if at := layer.Unit.Place; at.Known() {
		p.Place = at
	}
	if len(fitting) == 1 {
		p.Message += "; by its mark it is in " + fitting[0]
		p.Fix = problem.Advise("in the column unit of this layer, write: " + write)
		if layer.Unit.Place.Known() {
			p.Fix = problem.Write(write)
		}
	}
	return append(out, p)
}

// unitsOfMarks names the likely units in which the marks of the drawing have
// their stated sizes, and returns what to write in the recipe for the last.
func unitsOfMarks(file *reading, options drawing.Options, layer *model.Layer, job *model.Job) (names []string, write string) {
	if len(job.Marks) == 0 {
		return nil, ""
	}
	for _, u := range drawing.LikelyUnits() {
		options.Unit = u
		d, found := file.again(options)
		if found.HasErrors() {
			continue
		}
		if _, contours, faults := register.Place(d, layer, job.Marks, &job.Sheet); contours != nil && !faults.HasErrors() {
			names = append(names, u.Name)
			write = d.WriteUnit(u.Name)
		}
	}
	return names, write
}
