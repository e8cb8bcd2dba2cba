package runner

import (
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/runner/presenting"
	"mahlstick/runner/program"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"
)

// airRuns are the rehearsals of the layers, none if the machine states no height
// for them, with the outcomes of their rules.
func airRuns(layers []stage.Proven, job *model.Job) (out []presenting.Program, checks []stage.Check) {
	if job.Machine.AirRun == 0 {
		return nil, nil
	}
	lowest := job.Machine.AirRun + job.Sheet.Rise()
	for _, l := range layers {
		if l.Trial != nil {
			continue
		}
		file := strings.TrimSuffix(l.File, programExt) + "-air" + programExt
		head := programHead(job, l.Model.Name, l.Model.Brush.Title, "")
		head.Number, head.Of, head.Strip, head.Crosses, head.Seated = l.Number, len(layers), l.Strip, l.Crosses, presenting.Seated(l.Model.Seating)
		plan := l.Motion.AirRun(lowest)
		head.Figures.Seconds = proving.WalkSeconds(file, program.AirRun(head, plan, lowest), &job.Machine)
		head.Hash = record.Hash(program.AirRun(head, plan, lowest))
		p := presenting.Program{File: file, Text: program.AirRun(head, plan, lowest)}
		out = append(out, p)
		for _, o := range proving.AirRun(file, p.Text, l.Written, job) {
			checks = append(checks, stage.Check{Program: file, Outcome: o})
		}
	}
	return out, checks
}
