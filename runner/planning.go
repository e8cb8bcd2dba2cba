package runner

import (
	"io/fs"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/covering"
	"mahlstick/runner/drawing"
	"mahlstick/runner/ink"
	"mahlstick/runner/intake"
	"mahlstick/runner/motion"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
)

// task is a job on its way to moves.
type task struct {
	studio      fs.FS
	job         *model.Job
	workers     int
	progress    func(format string, args ...any)
	drawings    []*source.File // read on the way
	attachments []*source.File
}

// moved takes a job from its drawings, or its trials, to moves. Where the list
// holds an error, the moves must not be used.
func (t *task) moved() ([]stage.Moved, problem.List) {
	t.progress("drawings")
	drawings, problems := intake.Read(t.studio, t.job, t.workers)
	t.drawings = drawings.Files
	attachments, found := intake.Attachments(t.studio, t.job, drawings.Files)
	t.attachments = attachments
	problems = append(problems, found...)
	if problems.HasErrors() {
		return nil, problems
	}
	if len(t.job.Trials) > 0 {
		t.progress("marks")
		moved, found := moveTrials(t.job)
		return moved, append(problems, found...)
	}
	var planned []stage.Planned
	for _, l := range drawings.Layers {
		t.progress("layer %d of %d, strokes", l.Number, len(drawings.Layers))
		p, found := plan(l, t.workers)
		planned = append(planned, p)
		problems = append(problems, found...)
	}
	if problems.HasErrors() {
		return nil, problems
	}
	moved, found := move(planned, t.job)
	return moved, append(problems, found...)
}

// moveTrials lays out the trials of a swatch sheet, and turns them into moves of
// the machine in the order in which they were laid out.
func moveTrials(job *model.Job) ([]stage.Moved, problem.List) {
	swatch, problems := trial.LayOut(job)
	if problems.HasErrors() {
		return nil, problems
	}
	var out []stage.Moved
	for i := range swatch.Programs {
		p := &swatch.Programs[i]
		m := stage.Moved{Gestures: p.Gestures}
		m.Number, m.Model, m.Trial = i+1, &p.Layer, p
		m.Drawing, m.Regions, m.Plan = &drawing.Drawing{}, &region.Result{}, &stroke.Plan{}
		moves, found := motion.Make(p.Gestures, m.Model, &job.Sheet, &job.Machine, motion.Lie{})
		m.Motion = moves
		problems = append(problems, found...)
		out = append(out, m)
	}
	return out, append(problems, checkPlaces(out, job)...)
}

// plan makes the gestures of a layer that lies on the sheet. Where the list
// holds an error the plan is nil.
func plan(l stage.Placed, workers int) (stage.Planned, problem.List) {
	closed, lines := covering.Split(l.Contours, l.Model.Outlines == model.AsLines)
	p := stage.Planned{Placed: l, Lines: lines}
	options := region.Options{Strokes: l.Model.Inside == model.Strokes}
	regions, problems := region.Build(closed, options)
	if problems.HasErrors() {
		return p, problems
	}
	p.Regions = regions
	if found := leaveCovered(&p, options); found.HasErrors() {
		return p, found
	}
	made, found := stroke.Make(stroke.Drawn{Closed: p.Regions, Lines: p.Lines}, l.Model, stroke.Options{Workers: workers})
	p.Plan = made
	problems = append(problems, found...)
	if made != nil {
		problems = append(problems, roundedLines(&p)...)
	}
	return p, problems
}

// move puts each layer's gestures in order, adds the check strips and painted
// register marks, and turns all of it into moves of the machine.
func move(layers []stage.Planned, job *model.Job) ([]stage.Moved, problem.List) {
	sheet, machine := &job.Sheet, &job.Machine
	var problems problem.List
	var occupied []plane.Box // where no check strip may be
	occupy := func(gestures []stroke.Gesture) {
		if box, any := motion.Swept(gestures); any {
			occupied = append(occupied, box)
		}
	}
	var picture []stroke.Gesture
	for i, l := range layers {
		layers[i].Lie = motion.NewLie(l.Model.Seating)
		occupy(l.Plan.Gestures)
		picture = append(picture, l.Plan.Gestures...)
	}
	crosses, names := make([][]stroke.Gesture, len(layers)), make([][]string, len(layers))
	for i, l := range layers {
		marks, painted, found := motion.PaintedMarks(l.Model, job.Marks, picture)
		problems = append(problems, found...)
		crosses[i], names[i] = marks, painted
		for k := 0; k < len(marks); k += stroke.CrossArms {
			occupy(marks[k : k+stroke.CrossArms])
		}
	}
	var out []stage.Moved
	for i, l := range layers {
		m := stage.Moved{Planned: l, Crosses: names[i]}
		gestures := append(crosses[i], l.Plan.Gestures...)
		if l.Model.CheckStrip {
			strip, marks, found := motion.CheckStrip(l.Model, sheet, machine, l.Lie, occupied)
			problems = append(problems, found...)
			m.Strip = marks
			gestures = append(strip, gestures...)
			occupy(strip)
		}
		by := order.Options{
			Start: motion.RestOnSheet(l.Model.Brush, sheet, machine, l.Lie), Return: true,
			By: l.Model.Order, LeftHand: l.Model.LeftHand, EdgesFirst: l.Model.EdgesFirst, Pulled: l.Model.Pulled,
			Drying: order.Drying{Wet: l.Model.Wet, Feed: l.Model.Feed / 60, Travel: machine.TravelFeed / 60,
				Lift: 2 * machine.SafeHeight / (min(machine.LoweringFeed, machine.ZFeed) / 60)},
		}
		m.Gestures = order.Sort(gestures, by)
		m.Price = priceOf(m.Gestures, gestures, by)
		inked, use, found := ink.Plan(m.Gestures, l.Model)
		m.Gestures, m.Ink = inked, use
		problems = append(problems, found...)
		problems = append(problems, wetTimes(m.Gestures, l.Model)...)
		moves, found := motion.Make(m.Gestures, l.Model, sheet, machine, l.Lie)
		m.Motion = moves
		problems = append(problems, found...)
		out = append(out, m)
	}
	problems = append(problems, clearOfWells(out, job)...)
	return out, append(problems, checkPlaces(out, job)...)
}

// clearOfWells reports wells over which a brush passes between strokes.
func clearOfWells(layers []stage.Moved, job *model.Job) problem.List {
	var painted []motion.Painted
	var wells []*model.Well
	for _, l := range layers {
		painted = append(painted, motion.Painted{Gestures: l.Gestures, Brush: l.Model.Brush, Lie: l.Lie})
		if w := l.Model.Well; w != nil && !slices.Contains(wells, w) {
			wells = append(wells, w)
		}
	}
	return motion.ClearOfWells(painted, wells, &job.Sheet, &job.Machine)
}

// priceOf is what an order that the recipe asks for costs in travel, nil if it asks
// for none that has a price.
func priceOf(sorted, gestures []stroke.Gesture, by order.Options) *stage.Price {
	asked := by.By == model.ByRows || by.By == model.FromHand
	if !asked && !by.Pulled && by.Drying.Wet <= 0 {
		return nil
	}
	short := order.Options{Start: by.Start, Return: by.Return, EdgesFirst: by.EdgesFirst}
	p := &stage.Price{Travel: order.Travel(sorted, by), Short: order.Travel(order.Sort(gestures, short), short)}
	p.Seconds = max(p.Travel-p.Short, 0) / by.Drying.Travel
	return p
}
