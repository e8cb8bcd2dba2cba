// Package collect makes a drawing from what a decoder reads: it flattens curves in
// mm, checks limits, joins loose lines, and drops shapes drawn twice.
package collect

import (
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
)

// Collector is a sink that makes a drawing, as described in package decode.
type Collector struct {
	notes  *notes
	groups groupStack
	opt    drawing.Options
	layers *layerTable
	tally  *tally
	unit   unit
	shapes *shapes
}

// Defaults and limits of options, in mm.
const (
	defaultGap       = 0.05  // ends nearer than this are joined
	defaultTolerance = 0.001 // one step of a program's coordinates
	maxTolerance     = 0.005
)

// New makes a collector for a file.
func New(f *source.File, opt drawing.Options) *Collector {
	if opt.Gap == 0 {
		opt.Gap = defaultGap
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = defaultTolerance
	}
	opt.Tolerance = min(opt.Tolerance, maxTolerance)
	n := &notes{file: f, cut: opt.Cut, covering: opt.Bare, refuse: opt.RefuseFaults, once: map[string]bool{}, wants: opt.Wants}
	layers := newLayerTable(opt, n)
	t := &tally{index: map[countKey]int{}, notes: n, layers: layers}
	outlines := min(len(f.Data)/800, 100_000) // a guess; only memory depends on it
	return &Collector{
		notes: n, groups: newGroupStack(affine.Scale(1), layers, &opt), opt: opt, layers: layers, tally: t,
		shapes: newShapes(opt, n, t, outlines),
	}
}

// Say records a problem.
func (c *Collector) Say(m sink.Message) { c.notes.say(m) }

// Stopped reports that the rest of the file is not wanted.
func (c *Collector) Stopped() bool { return c.notes.stopped }

// Groups returns the groups around the shapes to come.
func (c *Collector) Groups() sink.Groups { return &c.groups }

// Layer finds a layer by its name, or adds it.
func (c *Collector) Layer(name string) int32 { return c.layers.number(name) }

// Declare records how a layer is shown.
func (c *Collector) Declare(n int32, state sink.LayerState) { c.layers.declare(n, state) }

// Unit decides on the unit of the drawing from what the file and the recipe
// say.
func (c *Collector) Unit(file sink.Unit, root func(mm float64) affine.Map) {
	c.unit = decideUnit(file, &c.opt.Unit, c.notes)
	c.unit.pageWidth, c.unit.pageHeight = float64(file.Width*c.unit.mm), float64(file.Height*c.unit.mm)
	c.shapes.measure = c.unit.missing || c.opt.Measure
	c.groups.stack[0].m = root(c.unit.mm)
}

func layerOf(c *Collector, e *sink.Entity) int32 {
	if e.Layer == sink.ByGroup {
		return c.groups.layer()
	}
	return e.Layer
}

// Wanted reports whether an entity belongs to the picture. If not, it is counted as
// skipped.
func (c *Collector) Wanted(e *sink.Entity, why string) bool {
	if c.notes.stopped {
		return false
	}
	if why == drawing.NoPaint && c.opt.Unpainted {
		why = ""
	}
	if ofLayer := c.layers.list[layerOf(c, e)].why; ofLayer != "" {
		why = ofLayer
	}
	if why != "" {
		c.Count(e, why)
	}
	return why == ""
}

// Count counts an entity that was read or skipped.
func (c *Collector) Count(e *sink.Entity, why string) {
	e.Counted = true
	c.tally.count(e.What, layerOf(c, e), why, e.At, e.End)
}

// StartArea begins an area.
func (c *Collector) StartArea() { c.shapes.areas++ }

// mapOf maps an entity's coordinates to mm.
func mapOf(c *Collector, e *sink.Entity) *affine.Map {
	if e.Plane == nil {
		return c.groups.Map()
	}
	m := c.groups.Map().After(e.Plane)
	return &m
}

// Add adds a line or an outline.
func (c *Collector) Add(e *sink.Entity, o sink.Outline) {
	if c.notes.stopped || e.Paint.Kind == contour.Bare && !c.opt.Bare && hides(c, e) {
		return
	}
	m := mapOf(c, e)
	if !c.shapes.flatten(e, o.Curve, m) {
		return
	}
	if o.Width > 0 {
		width := float64(o.Width * m.Stretch())
		c.shapes.pen.SetWidth(width)
		if o.Stretched {
			o.Look.Stretch = stretchOf(m, width, c.shapes.pen.Tolerance)
		}
	}
	var crossed []*drawing.Clip
	if clips := c.groups.top().clips; len(clips) > 0 {
		var shows bool
		if crossed, shows = c.shapes.shows(e, layerOf(c, e), clips, o.Look.Stretch); !shows {
			return
		}
	}
	closed := o.Closing == sink.Closed || o.Closing == sink.ClosedIfMeeting && c.shapes.endsMeet()
	// A curve with widths of its own is of a format that has no other corners.
	// What is stretched becomes a shape, with its corners as drawn.
	if o.Width > 0 && o.Look.Corners != contour.RoundCorners && o.Look.Stretch.None() {
		c.shapes.sayPointed(e, closed)
	}
	before := len(c.shapes.contours)
	c.shapes.cut = len(crossed) > 0
	kept := c.shapes.keepCurve(e, layerOf(c, e), closed, o.Rule)
	c.shapes.cut = false
	if n := len(c.shapes.contours); n > before { // else it is a loose line
		c.shapes.contours[n-1].Clips = crossed
		if c.shapes.contours[n-1].Widths != nil {
			c.shapes.contours[n-1].Look = o.Look
		}
	}
	if kept && closed && o.Width == 0 && c.notes.wanted(e.Paint) {
		c.shapes.thin.check(e, &c.shapes.contours[len(c.shapes.contours)-1])
	}
	if kept && !e.Counted {
		c.Count(e, "")
	}
}

// hides leaves out an area of bare paper where the recipe does not ask for what is
// covered to be left.
func hides(c *Collector, e *sink.Entity) bool {
	c.Count(e, drawing.HidesNothing)
	c.notes.warnOnce(problem.HiddenShape, e.At, e.End, problem.Advise("write leave in the column covered if what it hides should not be painted"),
		"this %s hides what lies under it, which is painted all the same", e.What)
	return true
}

// Hatch adds an area by its boundaries, and counts it. Boundaries inside others are
// holes, alternating with depth.
func (c *Collector) Hatch(e *sink.Entity, boundaries []sink.Boundary) {
	c.StartArea()
	m, layer := mapOf(c, e), layerOf(c, e)
	before := c.shapes.mark()
	for i := range boundaries {
		b := &boundaries[i]
		sound := true
		if b.Whole == nil {
			sound = c.shapes.joinEdges(e, layer, b.Edges, m)
		} else if sound = c.shapes.flatten(e, b.Whole, m); sound {
			c.shapes.keepCurve(e, layer, true, contour.EvenOdd)
		}
		if !sound || c.notes.stopped {
			c.shapes.rollBack(before)
			return
		}
	}
	if cutHatch(c.shapes, e, layer, c.groups.top().clips, before) {
		c.Count(e, "")
	}
}

// Finish ends the file. hint is what the file suggests about its unit, or "".
func (c *Collector) Finish(hint string) {
	if c.notes.stopped {
		return
	}
	c.layers.checkAsked(c.opt)
	c.notes.moreFaults()
	c.shapes.thin.warn(c.notes)
	if c.unit.unstated {
		reportNoUnit(c.notes, c.opt.Unit, c.shapes.bounds, hint)
	}
}

// Drawing makes the drawing from everything collected, and lists its problems.
func (c *Collector) Drawing() (*drawing.Drawing, problem.List) {
	d := &drawing.Drawing{
		File: c.notes.file, UnitName: c.unit.name, UnitMM: c.unit.mm, UnitFrom: c.unit.from, UnitInFile: c.unit.inFile,
		PageWidth: c.unit.pageWidth, PageHeight: c.unit.pageHeight,
		Layers: c.layers.names(),
	}
	if !c.notes.stopped && !c.unit.missing {
		d.Contours = c.shapes.finish(d, c.layers.isKept)
	}
	d.Read, d.Skipped = c.tally.sorted()
	return d, c.notes.list.Sorted()
}
