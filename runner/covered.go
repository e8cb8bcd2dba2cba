package runner

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/covering"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
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
		covering.Options{Trap: p.Model.Trap, Tolerance: p.Model.Tolerance, Width: oneWidth(p.Model)})
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

// oneWidth is the width in mm that the layer gives a line along all of it, 0 where it
// varies; nil if the layer gives none.
func oneWidth(m *model.Layer) func(l *stroke.OpenLine) float64 {
	if m.Width == nil {
		return nil
	}
	return func(l *stroke.OpenLine) float64 {
		const places = 64
		length := 0.0
		for i := 1; i < len(l.Points); i++ {
			length += plane.Distance(l.Points[i-1], l.Points[i]) / plane.PerMM
		}
		bend, first := stroke.Bends(l.Points), 0.0
		for i := range places + 1 {
			along := float64(i) / places
			width, err := m.Width.WidthAt(l.Shape, along, float64(along*length), length, bend(float64(along*length)))
			if i == 0 {
				first = width
			}
			if err != nil || width != first {
				return 0
			}
		}
		return first
	}
}
