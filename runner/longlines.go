package runner

import (
	"bytes"
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/presenting"
)

// checkLines reports the longest line that a job's programs need, if the controller
// does not read so much.
func checkLines(job *model.Job, programs ...presenting.Program) (problems problem.List) {
	limit := job.Machine.Text.Longest
	if limit == 0 {
		return nil
	}
	longest, file := []byte(nil), ""
	for _, p := range programs {
		for line := range bytes.Lines(p.Text) {
			if line = bytes.TrimSuffix(line, []byte{'\n'}); len(line) > max(limit, len(longest)) {
				longest, file = line, p.File
			}
		}
	}
	if file != "" {
		problems.Errorf(problem.LongLine, job.Machine.Text.Place, problem.Advise(fmt.Sprintf("write at least %d, if the controller reads so much; line numbers and a fourth decimal make lines longer", len(longest))),
			"the program %s needs a line of %d characters, %q, and the controller reads at most %d", file, len(longest), longest, limit)
	}
	return problems
}

// textsOf are all programs of a run but those of parts.
func textsOf(r *Result) []presenting.Program {
	out := []presenting.Program{r.walk}
	for _, l := range r.Layers {
		out = append(out, presenting.Program{File: l.File, Text: l.Program})
	}
	for _, m := range r.marks {
		out = append(out, m.Program)
	}
	if r.heights != nil {
		out = append(out, r.heights.Program)
	}
	return append(out, r.air...)
}
