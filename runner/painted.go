package runner

import (
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/part"
	"mahlstick/runner/stage"
)

// checkPainted reports rows of Results that name a part which the layer does not
// have, or another program than that of the part.
func checkPainted(r *Result) (problems problem.List) {
	for _, result := range r.Job.Results {
		for _, row := range result.Painted {
			at := slices.IndexFunc(r.Layers, func(l stage.Proven) bool { return strings.EqualFold(l.Model.Name, row.Layer) })
			if at < 0 {
				var names []string
				for _, l := range r.Layers {
					names = append(names, l.Model.Name)
				}
				fix := problem.Correction(row.Layer, names).Else(problem.Advise("write the name of a layer of this recipe"))
				problems.Warnf(problem.NoSuchPart, row.Place, fix, "the job has no layer %q", row.Layer)
				continue
			}
			l := r.Layers[at]
			last := len(l.Motion.Strokes)
			p := part.Part{From: row.From, To: row.To, At: row.At}
			switch {
			case !p.Valid(last):
				problems.Warnf(problem.NoSuchPart, row.Place, problem.Advise("copy the row that the command resume printed"),
					"the layer %q has the strokes 1 to %d; there are none from %d to %d", l.Model.Name, last, row.From, row.To)
			case p.FileName(l.File, last) != row.File && l.File != row.File:
				problems.Warnf(problem.NoSuchPart, row.Place, problem.Advise("copy the row that the command resume printed"),
					"the program of this part of the layer %q is %s, not %s", l.Model.Name, p.FileName(l.File, last), row.File)
			}
		}
	}
	return problems
}
