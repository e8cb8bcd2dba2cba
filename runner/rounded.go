package runner

import (
	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner/cutting"
	"mahlstick/runner/stage"
	"mahlstick/runner/vector"
)

// roundedShare is the share of a layer's area from which it is a warning that ends and
// corners are painted round.
const roundedShare = 0.01

// roundedLines warns where the round ends and corners of brush strokes differ from
// those of the drawing by more than a small share of what the layer has drawn.
// Lines that were cut off, or lie partly under others, are shapes by now.
func roundedLines(p *stage.Planned) problem.List {
	var problems problem.List
	if p.Model.Width != nil {
		return nil // the drawing's lines are centre lines only
	}
	sum, most, first := 0.0, 0.0, 0
	for i := range p.Lines {
		l := &p.Lines[i]
		if len(l.Widths) < 2 || l.Look.Round() {
			continue
		}
		points, closed := make([]vector.XY, len(l.Points)), l.Points[0] == l.Points[len(l.Points)-1] && len(l.Points) > 2
		for k, q := range l.Points {
			x, y := q.MM()
			points[k] = vector.XY{X: x, Y: y}
		}
		if closed {
			points = points[:len(points)-1]
		}
		area := cutting.Beyond(points, l.Widths, closed, l.Look)
		if sum += area; area > most {
			most, first = area, i
		}
	}
	if sum > float64(roundedShare*p.Plan.Drawn) && sum > 0 {
		problems.Warnf(problem.RoundedLines, p.Lines[first].Place, problem.Advise("draw these lines as shapes, or with round ends and corners; correct their length if that matters"),
			"the ends and corners of lines on the layer %q are painted round, not as drawn: the difference is %s, %s of the layer's area, most of it at this line",
			p.Model.Name, format.Plain.Area(sum), format.Plain.Share(sum/p.Plan.Drawn))
	}
	return problems
}
