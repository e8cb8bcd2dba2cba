package runner

import (
	"fmt"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stage"
)

// gridSlack (mm) is how far beyond the touched places something may be painted
// without a warning: places are rounded.
const gridSlack = 0.001

// checkPlaces reports places of a job at which something is in the way or not known.
func checkPlaces(layers []stage.Moved, job *model.Job) (problems problem.List) {
	for _, l := range layers {
		problems = append(problems, motion.CheckClamps(readMarks(l, layers, job), l.Model, &job.Sheet, &job.Machine, l.Lie)...)
	}
	return append(problems, beyondHeights(layers, &job.Sheet)...)
}

// beyondHeights warns of layers that paint, and of brushes that are touched off,
// where the height of the paper was not touched.
func beyondHeights(layers []stage.Moved, sheet *model.Sheet) (problems problem.List) {
	s := sheet.Surface
	if s == nil {
		return nil
	}
	advice := problem.Advise("touch the heights there too, on a grid that reaches around all that is painted; the page lists places")
	touched := func(x, y float64) string {
		return fmt.Sprintf("at (%s, %s) mm the height of the paper was not touched", format.Plain.Fixed(x, 1), format.Plain.Fixed(y, 1))
	}
	if x, y := s.TouchOff(); s.Beyond(x, y) > gridSlack {
		problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.BeyondHeights, Place: sheet.Place, Fix: advice,
			Message: "brushes are touched off where the surface is only continued: " + touched(x, y)})
	}
	for _, l := range layers {
		var worst plane.Point
		by := gridSlack
		lie, moves := l.Lie, l.Model.Moves
		for n, g := range gesturesPainted(l) {
			for len(moves) > 0 && moves[0].From <= n+1 {
				lie, moves = motion.NewLie(moves[0]), moves[1:]
			}
			for _, p := range g.Points {
				at := motion.AsLaid(p.Plane(), sheet, lie)
				if out := s.Beyond(at.MM()); out > by {
					worst, by = at, out
				}
			}
		}
		if by > gridSlack {
			problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.BeyondHeights, Place: l.Model.Place, Fix: advice,
				Message: fmt.Sprintf("the layer %q paints up to %s mm beyond the touched places, where the surface is only continued: ", l.Model.Name, format.Plain.Fixed(by, 1)) +
					touched(plane.MM(worst.X), plane.MM(worst.Y))})
		}
	}
	return problems
}
