// Package intake takes in the drawings of a job: it reads each file, lays each
// layer on the sheet by its register marks, and reports what of the drawings
// no layer paints.
package intake

import (
	"io/fs"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
	"mahlstick/runner/stage"
)

// Drawings are the drawings of a job.
type Drawings struct {
	Layers []stage.Placed // in the order of painting
	Files  []*source.File // each once, in the order of the layers
}

// Read reads the drawings of a job below the studio's root and places them, as
// many layers at a time as there are workers. If the list holds an error,
// layers are incomplete.
func Read(studio fs.FS, job *model.Job, workers int) (Drawings, problem.List) {
	var problems problem.List
	files := drawingFiles{studio: studio, byName: map[string]*source.File{}}
	readings := map[*source.File]*reading{}
	placings := make([]placing, len(job.Layers))
	var pool errgroup.Group
	pool.SetLimit(workers)
	for i := range job.Layers {
		p := &placings[i]
		p.Number, p.Model = i+1, &job.Layers[i]
		file, unreadable := files.open(p.Model)
		problems = append(problems, unreadable...)
		if file == nil {
			continue
		}
		if readings[file] == nil {
			readings[file] = newReading(file, job, workers)
		}
		r := readings[file]
		pool.Go(func() error {
			p.place(r, job)
			return nil
		})
	}
	_ = pool.Wait() // no function returns an error
	problems = append(problems, withoutRepeats(placings)...)
	problems = append(problems, compareMarks(placings)...)
	problems = append(problems, otherSizes(placings)...)
	problems = append(problems, unusedDrawingLayers(placings)...)
	if !problems.HasErrors() {
		problems = append(problems, unusedColours(placings)...)
	}
	out := Drawings{Files: files.list}
	for _, p := range placings {
		out.Layers = append(out.Layers, p.Placed)
	}
	return out, problems
}

// withoutRepeats collects the problems of all layers. What two layers report
// about the same drawing is listed once.
func withoutRepeats(placings []placing) problem.List {
	type report struct {
		drawing string
		code    problem.Code
		message string
	}
	var out problem.List
	firstLayer := map[report]int{}
	for i, p := range placings {
		for _, q := range p.problems {
			key := report{p.Model.Drawing, q.Code, q.Message}
			if first, seen := firstLayer[key]; !seen || first == i {
				firstLayer[key] = i
				out = append(out, q)
			}
		}
	}
	return out
}

// compareMarks checks that the layers' register marks agree.
func compareMarks(placings []placing) problem.List {
	var placed []register.Placement
	for _, p := range placings {
		if p.Contours != nil {
			placed = append(placed, p.Placement)
		}
	}
	return register.CheckLayers(placed)
}

// Distinct returns the drawings of the layers in their order, each once, for a
// picture of them. Drawings that could not be read are left out.
func (d Drawings) Distinct() []*drawing.Drawing {
	var out []*drawing.Drawing
	shown := map[*source.File]bool{}
	for _, l := range d.Layers {
		if l.Drawing == nil || shown[l.Drawing.File] && l.Model.DrawingLayer == "" {
			continue
		}
		shown[l.Drawing.File] = true
		out = append(out, l.Drawing)
	}
	return out
}
