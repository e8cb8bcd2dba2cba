package runner

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/motion"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/proof"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
	"mahlstick/runner/template"
)

// largestDrawing bounds a drawing file, in bytes.
const largestDrawing = drawing.MaxBytes

// mostDrawn bounds the bytes of all drawings of a job.
const mostDrawn = 256 << 20

// Layer is one layer on its way from drawing to proven program.
type Layer struct {
	Number    int // from 1
	Model     *model.Layer
	Drawing   *drawing.Drawing
	Placement register.Placement
	Regions   *region.Result
	Plan      *stroke.Plan
	Strip     []motion.StripMark
	Motion    motion.Plan
	Program   []byte
	Hash      string // of what can move a byte of the program
	Path      *proof.Path
	Measures  proof.Measures
	Cover     proof.Cover

	bed      float64 // mm, half the band in which the bed's height lies
	contours []register.Contour
	marksOn  []string // drawing layers besides its own on which its marks stand
	lines    []stroke.OpenLine
	gestures []stroke.Gesture // in the order of painting, the strip first
}

// Remarks are all places where what is painted is not quite what was drawn:
// those that the plan found, then those that the machine's motion brought.
func (l *Layer) Remarks() []stroke.Remark { return slices.Concat(l.Plan.Remarks, l.Motion.Remarks) }

// Painted and Refused are what is painted of what was drawn, and what is not,
// in mm²; together they are what was drawn.
func (l *Layer) Painted() float64 { return l.Plan.Drawn - l.Refused() }

// Refused is what is not painted, in mm², each part with a remark.
func (l *Layer) Refused() float64 {
	refused := l.Plan.Drawn - l.Plan.Painted()
	for _, r := range l.Motion.Remarks {
		refused += r.Area
	}
	return min(refused, l.Plan.Drawn)
}

// files reads drawings below the studio's root, each once.
type files struct {
	studio fs.FS
	read   map[string]*source.File
	list   []*source.File // in the order in which they were first wanted
	bytes  int64          // of all in the list
}

// open gives a drawing's file. What is wrong is told at the cell of the
// recipe that names it.
func (f *files) open(l *model.Layer) (*source.File, problem.List) {
	if file, ok := f.read[l.Drawing]; ok {
		return file, nil
	}
	var problems problem.List
	room := mostDrawn - f.bytes
	data, err := recipe.ReadFile(f.studio, l.Drawing, min(largestDrawing, room))
	var large *recipe.TooLargeError
	switch {
	case errors.As(err, &large) && large.Size <= largestDrawing:
		problems.Errorf(problem.UnreadableDrawing, l.DrawingPlace, problem.Advise("simplify the drawings, or split the job"),
			"%s is not read: the drawings of a job have at most %d MB together", l.Drawing, mostDrawn>>20)
		return nil, problems
	case errors.Is(err, fs.ErrNotExist):
		problems.Errorf(problem.NoDrawing, l.DrawingPlace, problem.Advise("put the drawing there, or name another"),
			"there is no file %s", l.Drawing)
		return nil, problems
	case err != nil:
		problems.Errorf(problem.UnreadableDrawing, l.DrawingPlace, problem.Advise("name a drawing file that can be read"),
			"%s cannot be read: %v", l.Drawing, plainCause(err))
		return nil, problems
	}
	file := source.New(l.Drawing, data)
	f.read[l.Drawing] = file
	f.list = append(f.list, file)
	f.bytes += int64(len(data))
	return file, nil
}

// plainCause leaves out the operation and the path, which stand in the
// message already.
func plainCause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// place reads a layer's drawing and lays it on the sheet.
func (l *Layer) place(file *source.File, job *model.Job) problem.List {
	m := l.Model
	var problems problem.List
	var marks []string
	for _, k := range job.Marks {
		if k.DrawingLayer != "" {
			marks = append(marks, k.DrawingLayer)
		}
	}
	options := drawing.Options{Unit: m.Unit, Layer: m.DrawingLayer, KeepLayers: marks, Gap: m.Gap, LayerPlace: m.DrawingLayerPlace}
	d, found := drawing.Read(file, options)
	if m.Width != nil { // lines have the ends of the recipe's width
		found = slices.DeleteFunc(found, func(p problem.Problem) bool { return p.Code == problem.FlatEnds })
	}
	problems = append(problems, found...)
	if d == nil || problems.HasErrors() {
		return l.unitByMark(file, options, job, problems)
	}
	template.PassOver(d)
	l.Drawing = d
	if m.Width == nil {
		problems = append(problems, d.OpenProblems(func(c *drawing.Contour) bool {
			return m.DrawingLayer == "" || strings.EqualFold(c.Layer, m.DrawingLayer)
		})...)
	}
	if problems.HasErrors() {
		return problems
	}
	l.Placement, l.contours, found = register.Place(d, m, job.Marks, &job.Sheet)
	if m.DrawingLayer != "" && slices.ContainsFunc(found, func(p problem.Problem) bool { return p.Code == problem.NoMark }) {
		// A mark that is found by its size may stand on any drawing layer.
		options.KeepLayers = d.Layers
		if whole, faults := drawing.Read(file, options); whole != nil && !faults.HasErrors() {
			template.PassOver(whole)
			if p, contours, again := register.Place(whole, m, job.Marks, &job.Sheet); contours != nil {
				l.Placement, l.contours, found = p, contours, again
				l.marksOn = layersOf(whole, p.Marks)
			}
		}
	}
	problems = append(problems, found...)
	return append(problems, l.closedOutlines()...)
}

// closedOutlines tells where the layer states a width, which is for lines, and
// closed outlines are painted as the shapes that they enclose.
func (l *Layer) closedOutlines() problem.List {
	var first source.Place
	closed := 0
	for _, c := range l.contours {
		if c.Closed && c.Widths == nil {
			if closed++; closed == 1 {
				first = c.Place
			}
		}
	}
	if l.Model.Width == nil || closed == 0 {
		return nil
	}
	its, each, note := "1 closed outline is", "the shape it encloses", "the closed outline"
	if closed > 1 {
		its, each, note = fmt.Sprintf("%d closed outlines are", closed), "the shapes they enclose", "the first of them"
	}
	p := problem.Problem{Severity: problem.Warning, Code: problem.ClosedOutline, Place: l.Model.WidthPlace,
		Message: fmt.Sprintf("the width is for open lines, and the layer %q has none: its %s painted as %s", l.Model.Name, its, each),
		Fix:     problem.Advise("leave the width out; for a line along an outline, draw it open or state its width in the drawing"),
		Related: []problem.Related{{Place: first, Note: note}},
	}
	if closed < len(l.contours) {
		p.Severity = problem.Hint
		p.Message = fmt.Sprintf("the width is for the open lines of the layer %q; its %s painted as %s", l.Model.Name, its, each)
		p.Fix = problem.Advise("for a line along an outline, draw it open or state its width in the drawing; if the shape is meant, all is well")
	}
	return problem.List{p}
}

// layersOf names the drawing layers on which marks were found.
func layersOf(d *drawing.Drawing, marks []register.Found) []string {
	var out []string
	for _, m := range marks {
		for _, c := range d.Contours {
			if c.Place == m.Place {
				out = append(out, c.Layer)
			}
		}
	}
	return out
}

// unpainted tells which layers of a drawing are painted by no layer of the
// recipe, where it picks them one by one.
func unpainted(layers []*Layer) problem.List {
	var problems problem.List
	for i, l := range layers {
		same := func(o *Layer) bool { return o.Model.Drawing == l.Model.Drawing }
		all := func(o *Layer) bool { return same(o) && (o.Model.DrawingLayer == "" || o.Drawing == nil) }
		if slices.ContainsFunc(layers[:i], same) || slices.ContainsFunc(layers, all) {
			continue // told already, or all of it is painted
		}
		var left []string
		for _, c := range l.Drawing.Passed {
			asked := func(o *Layer) bool {
				return same(o) && (strings.EqualFold(o.Model.DrawingLayer, c.Layer) || slices.Contains(o.marksOn, c.Layer))
			}
			if c.Why == drawing.NotAsked && !template.IsGuide(c.Layer) && !slices.Contains(left, c.Layer) && !slices.ContainsFunc(layers, asked) {
				left = append(left, c.Layer)
			}
		}
		if len(left) == 0 {
			continue
		}
		const most = 8
		names := strings.Join(left[:min(len(left), most)], ", ")
		if len(left) > most {
			names += " ..."
		}
		problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnpaintedLayer, Place: l.Model.DrawingPlace,
			Message: "nothing is painted of what stands in " + l.Model.Drawing + " on " + names,
			Fix:     problem.Advise("give it a line in Layers with its drawing layer; if that is meant, all is well")})
	}
	return problems
}

// checkPlacements compares the marks of all layers.
func checkPlacements(layers []*Layer) problem.List {
	var placed []register.Placement
	for _, l := range layers {
		if l.contours != nil {
			placed = append(placed, l.Placement)
		}
	}
	return register.CheckLayers(placed)
}

// makePlan makes the gestures of a layer that lies on the sheet.
func (l *Layer) makePlan(opt Options) problem.List {
	var problems problem.List
	var closed []region.Contour
	for _, c := range l.contours {
		if c.Closed && c.Widths == nil {
			closed = append(closed, region.Contour{Identity: c.Identity, Points: c.Points})
			continue
		}
		line := stroke.OpenLine{Points: c.Points, Widths: c.Widths, Shape: c.Shape, Place: c.Place}
		if c.Closed { // a stroke of its own width that returns to its start
			line.Points = append(slices.Clone(line.Points), line.Points[0])
			line.Widths = append(slices.Clone(line.Widths), line.Widths[0])
		}
		l.lines = append(l.lines, line)
	}
	regions, found := region.Build(closed, region.Options{Strokes: l.Model.Inside == model.Strokes})
	problems = append(problems, found...)
	if problems.HasErrors() {
		return problems
	}
	l.Regions = regions
	l.Plan, found = stroke.Make(stroke.Drawn{Closed: regions, Lines: l.lines}, l.Model, stroke.Options{Workers: opt.Workers})
	return append(problems, found...)
}

// move puts each layer's gestures in order, adds the check strips and turns
// all of it into moves of the machine.
func (r *Result) move() problem.List {
	var problems problem.List
	sheet, machine := &r.Job.Sheet, &r.Job.Machine
	var avoid []plane.Box
	for _, l := range r.Layers {
		if box, any := motion.Swept(l.Plan.Gestures); any {
			avoid = append(avoid, box)
		}
	}
	for _, l := range r.Layers {
		gestures := l.Plan.Gestures
		if l.Model.CheckStrip {
			strip, marks, found := motion.CheckStrip(l.Model, sheet, avoid)
			problems = append(problems, found...)
			l.Strip = marks
			gestures = append(strip, gestures...)
			if box, any := motion.Swept(strip); any {
				avoid = append(avoid, box)
			}
		}
		l.gestures = order.Sort(gestures, order.Options{Start: layCorner(sheet), Return: true, EdgesFirst: l.Model.EdgesFirst})
		plan, found := motion.Make(l.gestures, l.Model, sheet, machine)
		l.Motion = plan
		problems = append(problems, found...)
	}
	return problems
}

// layCorner is the sheet's corner at the machine's zero, on the sheet.
func layCorner(s *model.Sheet) plane.Point {
	var x, y float64
	if s.Lay == model.LowerRight || s.Lay == model.UpperRight {
		x = s.Width
	}
	if s.Lay == model.UpperLeft || s.Lay == model.UpperRight {
		y = s.Height
	}
	return plane.At(x, y)
}
