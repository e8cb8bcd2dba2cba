package runner

import (
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/ink"
	"mahlstick/runner/motion"
	"mahlstick/runner/presenting"
	"mahlstick/runner/program"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"

	"golang.org/x/sync/errgroup"
)

const (
	programExt  = ".nc" // ends the name of a program's file
	walkName    = "0-margin-walk" + programExt
	heightsName = "0-heights" + programExt
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
			w, err := writeLayer(l, len(layers), "", job)
			out[i] = w
			return err
		})
	}
	return out, pool.Wait()
}

// writeLayer makes the text of a layer's program, one of so many; ends says where it
// ends, if that is not the end of the layer.
func writeLayer(l stage.Moved, of int, ends string, job *model.Job) (stage.Written, error) {
	file := programName(l.Number, l.Model.Name)
	head := programHead(job, l.Model.Name, l.Model.Brush.Title, l.Model.Ink.Name)
	head.Number, head.Of, head.Strip, head.Crosses, head.Ends = l.Number, of, l.Strip, l.Crosses, ends
	if l.Trial != nil {
		for _, w := range proving.Waits(l.Trial, l.Model.Brush, &job.Sheet) {
			head.Dwells = append(head.Dwells, program.Dwell{MinX: w.Rect.MinX, MinY: w.Rect.MinY, MaxX: w.Rect.MaxX, MaxY: w.Rect.MaxY, Depth: w.Depth, Seconds: w.Seconds})
		}
	}
	head.Seated = presenting.Seated(l.Model.Seating)
	inkHead(&head, l.Ink, 1)
	figures, err := proving.Figures(l, file, program.Layer(head, l.Motion), job)
	if err != nil {
		return stage.Written{}, err
	}
	head.Figures.Strokes, head.Figures.CheckMarks, head.Figures.Crosses = figures.Strokes, figures.CheckMarks, figures.Crosses
	head.Figures.Length, head.Figures.Seconds = figures.Length, figures.Seconds
	head.Hash = record.Hash(program.Layer(head, l.Motion))
	return stage.Written{Moved: l, File: file, Program: program.Layer(head, l.Motion), Hash: head.Hash}, nil
}

// walked are the layers that the margin walk goes round.
func walked(layers []stage.Moved) []stage.Moved {
	return slices.DeleteFunc(slices.Clone(layers), func(l stage.Moved) bool { return l.Model.Lies() != layers[len(layers)-1].Model.Lies() })
}

// writeWalk makes the program of the margin walk, round the layers that are
// painted on the sheet as it lies now: those after its last seating.
func writeWalk(layers []stage.Moved, job *model.Job) presenting.Program {
	var painted []motion.Painted
	for _, l := range walked(layers) {
		now := l.Model.Lies()
		p := motion.Painted{Gestures: l.Gestures, Brush: l.Model.Brush, Lie: l.Lie}
		if now != l.Model.Seating { // moved within the layer
			all := gesturesPainted(l)
			p.Gestures, p.Lie = all[min(now.From-1, len(all)):], motion.NewLie(now)
		}
		painted = append(painted, p)
	}
	walk := motion.MarginWalk(painted, &job.Sheet, &job.Machine)
	head := programHead(job, "", walked(layers)[0].Model.Brush.Title, "")
	head.Seated = presenting.Seated(layers[len(layers)-1].Model.Lies())
	head.Figures.Seconds = proving.WalkSeconds(walkName, program.Walk(head, walk), &job.Machine)
	head.Hash = record.Hash(program.Walk(head, walk))
	return presenting.Program{File: walkName, Text: program.Walk(head, walk)}
}

// readMarks are the register marks that are read before a layer is painted, none if
// the recipe reads none.
func readMarks(l stage.Moved, layers []stage.Moved, job *model.Job) []model.Mark {
	if !job.Sheet.GrowthStated && layers[len(layers)-1].Model.Lies() == nil {
		return nil
	}
	return motion.OnSheetBefore(l.Model, job)
}

// writeMarks makes the programs that carry the tips of the layers' brushes over
// the register marks that are on the sheet by then, if the recipe reads them.
func writeMarks(layers []stage.Moved, job *model.Job) []presenting.MarksProgram {
	var out []presenting.MarksProgram
	for _, l := range layers {
		tour := motion.MarkTour(readMarks(l, layers, job), l.Model, &job.Sheet, &job.Machine, l.Lie)
		if len(tour.Stops) == 0 {
			continue
		}
		file := strings.TrimSuffix(programName(l.Number, l.Model.Name), programExt) + "-marks" + programExt
		head := programHead(job, l.Model.Name, l.Model.Brush.Title, "")
		head.Number, head.Of, head.Seated = l.Number, len(layers), presenting.Seated(l.Model.Seating)
		head.Figures.Seconds = proving.WalkSeconds(file, program.Marks(head, tour), &job.Machine)
		head.Hash = record.Hash(program.Marks(head, tour))
		out = append(out, presenting.MarksProgram{Layer: l.Model, Tour: tour, Program: presenting.Program{File: file, Text: program.Marks(head, tour)}})
	}
	return out
}

// writeHeights makes the program that carries the tip of the first layer's brush
// over places at which to touch the height of the paper; nil if the recipe does
// not say where brushes are touched off.
func writeHeights(layers []stage.Moved, job *model.Job) *presenting.HeightsProgram {
	var painted []motion.Painted
	for _, l := range layers {
		painted = append(painted, motion.Painted{Gestures: l.Gestures, Brush: l.Model.Brush})
	}
	places := motion.ProposeHeights(painted, &job.Sheet, &job.Machine)
	first := layers[0]
	tour := motion.MarkTour(places, first.Model, &job.Sheet, &job.Machine, first.Lie)
	if len(tour.Stops) == 0 || first.Motion.Ground == nil {
		return nil
	}
	head := programHead(job, "", first.Model.Brush.Title, "")
	head.Seated = presenting.Seated(first.Model.Seating)
	text := func() []byte { return program.Heights(head, tour, first.Motion.Ground.At) }
	head.Figures.Seconds = proving.WalkSeconds(heightsName, text(), &job.Machine)
	head.Hash = record.Hash(text())
	return &presenting.HeightsProgram{Places: places, MarksProgram: presenting.MarksProgram{Layer: first.Model, Tour: tour, Program: presenting.Program{File: heightsName, Text: text()}}}
}

func programHead(job *model.Job, layer, brush, ink string) program.Head {
	t := proving.Timing(&job.Machine)
	figures := program.Figures{Travel: t.Travel, ZFeed: t.ZFeed, Acceleration: t.Acceleration, Corner: t.Corner}
	for i, axis := range t.Axes {
		figures.Axes[i] = [2]float64{axis.Feed, axis.Acceleration}
	}
	return program.Head{Job: job.Name, Title: job.Title, Layer: layer, Brush: brush, Ink: ink,
		Figures: figures, Text: programText(job)}
}

func programText(job *model.Job) program.Text {
	t := &job.Machine.Text
	return program.Text{Longest: t.Longest, HeadOnly: t.HeadOnly, Numbered: t.Numbered, End30: t.End == 30, Pause1: t.Pause == 1}
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

// inkHead writes into a program's head what the ink is used for; first is the
// number of the program's first stroke.
func inkHead(head *program.Head, use *ink.Use, first int) {
	if use == nil {
		return
	}
	head.InkUse = use.Text(format.Plain)
	for _, n := range use.Reloads() {
		head.Reloads = append(head.Reloads, n+first-1)
	}
}
