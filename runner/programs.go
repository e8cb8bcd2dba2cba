package runner

import (
	"strconv"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/runner/motion"
	"mahlstick/runner/presenting"
	"mahlstick/runner/program"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"

	"golang.org/x/sync/errgroup"
)

const (
	programExt = ".nc" // ends the name of a program's file
	walkName   = "0-margin-walk" + programExt
)

// write makes the text of every layer's program, as many at a time as there are
// workers. The figures in a program's head are measured of its own moves; the
// hash is that of its own text with the hash left empty: it covers all that can
// change a byte of it, and nothing else.
func write(layers []stage.Moved, job *model.Job, workers int) ([]stage.Written, error) {
	out := make([]stage.Written, len(layers))
	var pool errgroup.Group
	pool.SetLimit(workers)
	for i, l := range layers {
		pool.Go(func() error {
			file := programName(l.Number, l.Model.Name)
			head := programHead(job, l.Model.Name, l.Model.Brush.Title, l.Model.Ink.Name)
			head.Number, head.Of, head.Strip, head.Crosses = l.Number, len(layers), l.Strip, l.Crosses
			if l.Trial != nil {
				for _, w := range proving.Waits(l.Trial, l.Model.Brush, &job.Sheet) {
					head.Dwells = append(head.Dwells, program.Dwell{MinX: w.Rect.MinX, MinY: w.Rect.MinY, MaxX: w.Rect.MaxX, MaxY: w.Rect.MaxY, Depth: w.Depth, Seconds: w.Seconds})
				}
			}
			figures, err := proving.Figures(l, file, program.Layer(head, l.Motion), job)
			if err != nil {
				return err
			}
			head.Figures.Strokes, head.Figures.CheckMarks, head.Figures.Crosses = figures.Strokes, figures.CheckMarks, figures.Crosses
			head.Figures.Length, head.Figures.Seconds = figures.Length, figures.Seconds
			head.Hash = record.Hash(program.Layer(head, l.Motion))
			out[i] = stage.Written{Moved: l, File: file, Program: program.Layer(head, l.Motion), Hash: head.Hash}
			return nil
		})
	}
	return out, pool.Wait()
}

// writeWalk makes the program of the margin walk.
func writeWalk(layers []stage.Moved, job *model.Job) presenting.Program {
	var painted []motion.Painted
	for _, l := range layers {
		painted = append(painted, motion.Painted{Gestures: l.Gestures, Brush: l.Model.Brush, Lie: l.Lie})
	}
	walk := motion.MarginWalk(painted, &job.Sheet, &job.Machine)
	head := programHead(job, "", layers[0].Model.Brush.Title, "")
	head.Figures.Seconds = proving.WalkSeconds(walkName, program.Walk(head, walk), &job.Machine)
	head.Hash = record.Hash(program.Walk(head, walk))
	return presenting.Program{File: walkName, Text: program.Walk(head, walk)}
}

func programHead(job *model.Job, layer, brush, ink string) program.Head {
	t := proving.Timing(&job.Machine)
	return program.Head{Job: job.Name, Title: job.Title, Layer: layer, Brush: brush, Ink: ink,
		Figures: program.Figures{Travel: t.Travel, ZFeed: t.ZFeed, Acceleration: t.Acceleration, Corner: t.Corner}}
}

// programName is the file of a layer's program: its number and its name in
// letters that every file system takes.
func programName(number int, layer string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(layer) {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "layer"
	}
	return strconv.Itoa(number) + "-" + name + programExt
}
