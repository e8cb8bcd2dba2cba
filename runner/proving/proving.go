// Package proving has the written programs of a job read back and checked. It
// hands runner/proof the limits of recipe, machine and brush as plain values,
// and what was drawn as plain areas; proof knows nothing else of the job.
package proving

import (
	"fmt"
	"slices"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// Layers reads back the programs of all layers, with the given number of
// workers.
func Layers(written []stage.Written, job *model.Job, workers int) ([]stage.Proven, error) {
	proven := make([]stage.Proven, len(written))
	var pool errgroup.Group
	pool.SetLimit(workers)
	for i, w := range written {
		pool.Go(func() (err error) {
			if proven[i], err = proveLayer(w, job); err != nil {
				err = fmt.Errorf("proof of %s: %w", w.File, err)
			}
			return err
		})
	}
	return proven, pool.Wait()
}

// Figures measures the program of a layer.
func Figures(l stage.Moved, file string, program []byte, job *model.Job) (stage.Figures, error) {
	brush, err := sampleCurve(l.Model.Brush)
	if err != nil {
		return stage.Figures{}, fmt.Errorf("proof of %s: %w", file, err)
	}
	f := newSheetFrame(&job.Sheet)
	seat := seatOf(l.Model.Seating, job.Sheet.Growth, f)
	bed, err := surface(&job.Sheet, f, seat)
	if err != nil {
		return stage.Figures{}, fmt.Errorf("proof of %s: %w", file, err)
	}
	path, _ := proof.Read(file, program)
	path = proof.Visiting(path, stations(l.Model, seat))
	m := proof.Measure(proof.OnBed(path, bed, l.Model.Brush.TipX, l.Model.Brush.TipY), Timing(&job.Machine), brush)
	return stage.NewFigures(&m, len(l.Strip), len(l.Crosses)), nil
}

// WalkSeconds is the time in s that the margin walk takes, without its pause.
func WalkSeconds(file string, program []byte, machine *model.Machine) float64 {
	path, _ := proof.Read(file, program)
	return proof.Measure(path, Timing(machine), nil).Seconds
}

// Walk reads back the program of the margin walk with a brush, which never goes below
// the safe height.
func Walk(file string, program []byte, brush *model.Brush, job *model.Job) []proof.Outcome {
	path, _ := proof.Read(file, program) // faults break the first rule
	return proof.Check(path, walkLimits(job, brush))
}

// AirRun reads back the rehearsal of a layer. Besides keeping its height, it must go
// over every place where the program of the layer goes, in the same order.
func AirRun(file string, text []byte, layer stage.Written, job *model.Job) []proof.Outcome {
	f := newSheetFrame(&job.Sheet)
	limits := machineLimits(&job.Machine, f)
	s := seatOf(layer.Model.Seating, job.Sheet.Growth, f)
	s.moveZero(&limits)
	limits.AirRun = job.Machine.AirRun + job.Sheet.Rise()
	limits.Blocks = 0 // where the controller waits above the paper, nothing blots
	addClamps(&limits, job, layer.Model.Brush, f, s, knownSurface(&job.Sheet, f, s))
	path, _ := proof.Read(file, text) // faults break the first rule
	painted, _ := proof.Read(layer.File, layer.Program)
	return append(proof.Check(path, limits), sameWay(path, proof.Visiting(painted, stations(layer.Model, s))))
}

// sameWay is the rule that two programs have the same way at a feed, seen from
// above.
func sameWay(air, painted *proof.Path) proof.Outcome {
	one, two := fedPlaces(air), fedPlaces(painted)
	return proof.Outcome{
		Name: "goes where the program of the layer goes", OK: slices.Equal(one, two),
		Found: fmt.Sprintf("%d places", len(one)), Allowed: fmt.Sprintf("the same %d places, in their order", len(two)),
		Why: "a rehearsal of another way shows nothing",
	}
}

// fedPlaces are the places to which a program goes at a feed, without those where
// only the height changes.
func fedPlaces(p *proof.Path) (out [][2]float64) {
	for _, m := range p.Moves {
		if q := [2]float64{m.To.X, m.To.Y}; m.Kind == proof.Feed && !m.Visit && (m.From.X != m.To.X || m.From.Y != m.To.Y) {
			out = append(out, q)
		}
	}
	return out
}

// Marks reads back a program that carries the tip of a layer's brush over
// register marks: it never goes below the safe height and waits over each.
func Marks(file string, text []byte, l *model.Layer, marks []model.Mark, job *model.Job) []proof.Outcome {
	f := newSheetFrame(&job.Sheet)
	limits := machineLimits(&job.Machine, f)
	s := seatOf(l.Seating, job.Sheet.Growth, f)
	s.moveZero(&limits)
	limits.Lifted, limits.Bed = true, knownSurface(&job.Sheet, f, s)
	addClamps(&limits, job, l.Brush, f, s, limits.Bed)
	for _, m := range marks {
		x, y := f.onBed(m.X, m.Y)
		if s != nil {
			x, y = s.at(x, y)
		}
		limits.Over = append(limits.Over, proof.Point{X: x - l.Brush.TipX, Y: y - l.Brush.TipY})
	}
	path, _ := proof.Read(file, text) // faults break the first rule
	return proof.Check(path, limits)
}

// Compare draws the marks of a program again and compares them with what the
// layer is to paint, in pixels of the given side in mm.
func Compare(path *proof.Path, layer stage.Moved, sheet *model.Sheet, pixel float64) (proof.Cover, error) {
	brush, err := sampleCurve(layer.Model.Brush)
	if err != nil {
		return proof.Cover{}, err
	}
	lines, err := linesAsDrawn(layer.Lines, layer.Model)
	if err != nil {
		return proof.Cover{}, err
	}
	c := comparison{newSheetFrame(sheet), brush, pixel}
	bed, err := surface(sheet, c.frame, seatOf(layer.Model.Seating, sheet.Growth, c.frame))
	if err != nil {
		return proof.Cover{}, err
	}
	path = proof.OnBed(path, bed, layer.Model.Brush.TipX, layer.Model.Brush.TipY)
	return c.with(path.On(lieOf(layer, sheet, c.frame)), layer, lines)
}

// lieOf is how the sheet of a layer has moved from its stops, by the readings that
// the recipe states; nil if it has not.
func lieOf(l stage.Moved, sheet *model.Sheet, f sheetFrame) *proof.Lie {
	return seatOf(l.Model.Seating, sheet.Growth, f).lie(l.Model.Brush.TipX, l.Model.Brush.TipY)
}

// Part reads back the program of a part of a layer; whole is the layer.
func Part(w stage.Written, whole stage.Written, job *model.Job) (stage.Proven, error) {
	p, err := proveWith(w, job, boxesBeside(whole, newSheetFrame(&job.Sheet)))
	if err != nil {
		err = fmt.Errorf("proof of %s: %w", w.File, err)
	}
	return p, err
}

func proveLayer(w stage.Written, job *model.Job) (stage.Proven, error) {
	return proveWith(w, job, boxesBeside(w, newSheetFrame(&job.Sheet)))
}

// proveWith reads back a program that may paint in the given boxes, besides the
// sheet within its margins.
func proveWith(w stage.Written, job *model.Job, beside []proof.Rect) (stage.Proven, error) {
	brush, err := sampleCurve(w.Model.Brush)
	if err != nil {
		return stage.Proven{}, err
	}
	l := stage.Proven{Written: w}
	c := comparison{newSheetFrame(&job.Sheet), brush, pixel}
	seat := seatOf(w.Model.Seating, job.Sheet.Growth, c.frame)
	bed, err := surface(&job.Sheet, c.frame, seat)
	if err != nil {
		return l, err
	}
	written, _ := proof.Read(w.File, w.Program) // faults break the first rule
	written = proof.Visiting(written, stations(w.Model, seat))
	path := proof.OnBed(written, bed, w.Model.Brush.TipX, w.Model.Brush.TipY)
	onSheet := path.On(lieOf(w.Moved, &job.Sheet, c.frame))
	l.Ahead = ahead(path, w.Model.Brush.Lag)
	l.Measures = proof.Measure(path, Timing(&job.Machine), brush)
	l.Figures = stage.NewFigures(&l.Measures, len(w.Strip), len(w.Crosses))
	drawn, err := linesAsDrawn(w.Lines, w.Model)
	if err != nil {
		return l, err
	}
	if w.Trial != nil || w.Partial {
		drawn = touching(w.Gestures) // what the swatch sheet is to hold
	}
	if l.Cover, err = c.with(onSheet, w.Moved, drawn); err != nil {
		return l, err
	}
	l.Marks = marksOnSheet(onSheet, brush, w.Model.Brush, c.frame)
	l.Blots = blots(path, onSheet, brush, w.Model, &job.Machine, c.frame)
	l.Remarks = remarks(w, l.Cover)
	l.Refused = refused(w.Plan, l.Remarks)
	l.Painted = w.Plan.Drawn - l.Refused
	compared := l.Cover
	if lines := gesturesOf(w.Lines, w.Plan); len(lines) > 0 && l.Refused > 0 {
		// Lines that the brush cannot paint at full width are compared with
		// what was planned, not with what was drawn.
		if compared, err = c.with(onSheet, w.Moved, lines); err != nil {
			return l, err
		}
	}
	limits := limits(w, job, c.frame, brush, beside)
	limits.Bed = bed
	if limits.Feeds, err = feedTable(w); err != nil {
		return l, err
	}
	addClamps(&limits, job, w.Model.Brush, c.frame, seatOf(w.Model.Seating, job.Sheet.Growth, c.frame), bed)
	l.Outcomes = proof.Check(written, limits)
	if !w.Partial || compared.Drawn > 0 { // a part may have check marks only
		l.Outcomes = append(l.Outcomes, agreement(l, compared))
	}
	return l, nil
}

// ahead is how far (mm) the brush of a program is led ahead of its mark at
// most.
func ahead(path *proof.Path, lag brush.Lag) float64 {
	most := 0.0
	for _, m := range path.Moves {
		if m.From.X != m.To.X || m.From.Y != m.To.Y {
			most = max(most, lag.At(-m.From.Z), lag.At(-m.To.Z))
		}
	}
	return most
}

// marksOnSheet are the marks of a program, in mm on the sheet.
func marksOnSheet(path *proof.Path, brush *proof.Brush, mounted *model.Brush, f sheetFrame) [][]proof.Mark {
	strokes := path.Marks(brush)
	for _, marks := range strokes {
		for i := range marks {
			m := &marks[i]
			m.X, m.Y = f.onSheet(m.X+mounted.TipX, m.Y+mounted.TipY)
		}
	}
	return strokes
}

// gesturesOf returns the planned gestures of the given lines, lanes included.
func gesturesOf(lines []stroke.OpenLine, p *stroke.Plan) []stroke.Gesture {
	ofLine := map[int]bool{}
	for _, l := range lines {
		ofLine[l.Shape] = true
	}
	var out []stroke.Gesture
	for _, g := range p.Gestures {
		if ofLine[g.Shape] {
			out = append(out, g)
		}
	}
	return out
}

// remarks returns those of the plan, then those of the moves. Other strokes of
// a shape may cover what longer entries leave bare, so the areas of these are
// scaled down to the bare area that was found.
func remarks(w stage.Written, found proof.Cover) []stroke.Remark {
	out := append([]stroke.Remark(nil), w.Plan.Remarks...)
	sum := 0.0
	for _, r := range w.Motion.Remarks {
		sum += r.Area
	}
	share := 1.0
	if sum > found.Missing {
		share = found.Missing / sum
	}
	for _, r := range w.Motion.Remarks {
		r.Area *= share
		out = append(out, r)
	}
	return out
}

// refused is the area in mm² of what was drawn and is not painted.
func refused(p *stroke.Plan, remarks []stroke.Remark) float64 {
	sum := p.Drawn - p.Painted()
	for _, r := range remarks[len(p.Remarks):] { // those of the moves
		sum += r.Area
	}
	return min(sum, p.Drawn)
}
