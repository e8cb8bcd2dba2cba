package intake

import (
	"sync"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/template"
)

// reading makes drawings of one file, in any unit and of any of its layers. It
// can be used by several layers at once.
type reading struct {
	file    *source.File
	workers int
	// often reports that more than one drawing of the file will be made. For a
	// single one, decoding directly is quicker than recording, and takes less
	// memory.
	often     bool
	recording func() *decode.Recording // decodes the file at its first call
	// between is the size between the margins that all layers share which ask for it.
	between func() (sizing, problem.List)
}

func newReading(file *source.File, job *model.Job, workers int) *reading {
	layers := job.Layers
	r := &reading{file: file, workers: workers}
	r.recording = sync.OnceValue(func() *decode.Recording { return decode.Record(file, workers) })
	r.between = sync.OnceValues(func() (sizing, problem.List) { return sizeBetween(r, job) })
	users := 0
	for _, l := range layers {
		if l.Drawing == file.Name {
			users++
			r.often = r.often || users > 1 || l.DrawingLayer != "" || l.DrawnSize.By != model.ByUnit
		}
	}
	return r
}

// first is the drawing that a layer asks for.
func (r *reading) first(options drawing.Options) (*drawing.Drawing, problem.List) {
	if r.often {
		return r.again(options)
	}
	options.Workers = r.workers
	return withoutGuides(decode.Drawing(r.file, options))
}

// again is a further drawing, in another unit or with other layers.
func (r *reading) again(options drawing.Options) (*drawing.Drawing, problem.List) {
	return withoutGuides(r.recording().Drawing(options))
}

// withoutGuides leaves out the shapes that are only guides and never painted.
func withoutGuides(d *drawing.Drawing, problems problem.List) (*drawing.Drawing, problem.List) {
	template.SkipGuides(d)
	return d, problems
}
