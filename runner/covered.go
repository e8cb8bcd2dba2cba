package runner

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/covering"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
)

// leaveCovered cuts away what lies under later shapes of the drawing.
func leaveCovered(p *stage.Planned, options region.Options) problem.List {
	if len(p.Placement.Covers) == 0 {
		return nil
	}
	covers, problems := covering.Covers(p.Placement.Covers, options)
	if problems.HasErrors() {
		return problems
	}
	drawn, hidden, problems := covering.Cut(covering.Drawn{Regions: p.Regions, Lines: p.Lines}, covers,
		covering.Options{Trap: p.Model.Trap, Tolerance: p.Model.Tolerance})
	if problems.HasErrors() {
		return problems
	}
	if len(drawn.Regions.Regions) == 0 && len(drawn.Lines) == 0 {
		problems.Errorf(problem.NothingToPaint, p.Model.DrawingPlace, problem.Advise("take the layer out, or write paint in the column covered"),
			"nothing of the layer %q shows: all of it lies under later shapes of %s", p.Model.Name, p.Model.Drawing)
		return problems
	}
	p.Regions, p.Lines, p.Hidden = drawn.Regions, drawn.Lines, hidden
	return nil
}
