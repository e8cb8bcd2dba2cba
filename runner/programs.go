package runner

import (
	"mahlstick/runner/motion"
	"mahlstick/runner/program"
	"mahlstick/runner/record"
)

// writePrograms makes the text of every program. The hash in a program's
// head is that of its own text with the hash left empty: it covers all that
// can move a byte of it, and nothing else.
func (r *Result) writePrograms() {
	var painted []motion.Painted
	for _, l := range r.Layers {
		head := r.head(l.Model.Name, l.Model.Brush.Title, l.Model.Ink.Name)
		head.Number, head.Strip = l.Number, l.Strip
		head.Hash = record.Hash(program.Layer(head, l.Motion))
		l.Hash, l.Program = head.Hash, program.Layer(head, l.Motion)
		r.Outputs = append(r.Outputs, record.Output{Name: programName(l), Data: l.Program})
		painted = append(painted, motion.Painted{Gestures: l.gestures, Brush: l.Model.Brush})
	}
	if len(r.Layers) == 0 {
		return
	}
	sheet, machine := &r.Job.Sheet, &r.Job.Machine
	walk := motion.MarginWalk(painted, sheet, machine)
	head := r.head("margin walk", r.Layers[0].Model.Brush.Title, "none")
	head.Hash = record.Hash(program.Walk(head, walk))
	r.walk = program.Walk(head, walk)
	r.Outputs = append([]record.Output{{Name: walkName, Data: r.walk}}, r.Outputs...)
}

func (r *Result) head(layer, brush, ink string) program.Head {
	return program.Head{Job: r.Job.Name, Title: r.Job.Title, Of: len(r.Layers), Layer: layer, Brush: brush, Ink: ink}
}
