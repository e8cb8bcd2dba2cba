// Package collect makes a drawing of what a decoder reads: it flattens curves
// to mm, keeps within bounds, joins loose lines, and drops what is drawn twice.
package collect

import (
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
)

// Collector is a sink that makes a drawing. It keeps the promises of package
// decode.
type Collector struct {
	notes  *notes
	groups groupStack
	opt    drawing.Options
	layers *layerTable
	tally  *tally
	unit   unit
	shapes *shapes
}

// New makes a collector for a file.
func New(f *source.File, opt drawing.Options) *Collector {
	if opt.Gap == 0 {
		opt.Gap = 0.05
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = 0.001
	}
	opt.Tolerance = min(opt.Tolerance, 0.005)
	n := &notes{file: f, once: map[string]bool{}}
	layers := newLayerTable(opt, n)
	t := &tally{index: map[countKey]int{}, notes: n, layers: layers}
	outlines := min(len(f.Data)/800, 100_000) // about what drawings have
	return &Collector{
		notes: n, groups: newGroupStack(affine.Scale(1), layers), opt: opt, layers: layers, tally: t,
		shapes: newShapes(opt, n, t, outlines),
	}
}

// Say notes a problem.
func (c *Collector) Say(m sink.Message) { c.notes.say(m) }

// Stopped says that nothing more is wanted.
func (c *Collector) Stopped() bool { return c.notes.stopped }

// Groups are those in which shapes lie.
func (c *Collector) Groups() sink.Groups { return &c.groups }

// Layer finds a layer by its name or makes it.
func (c *Collector) Layer(name string) int32 { return c.layers.number(name) }

// Declare says how a layer is shown.
func (c *Collector) Declare(n int32, state sink.LayerState) { c.layers.declare(n, state) }

// Unit decides on the unit of the drawing from what the file and the recipe
// say.
func (c *Collector) Unit(file sink.Unit, root func(mm float64) affine.Map) {
	c.unit = decideUnit(file, &c.opt.Unit, c.notes)
	c.shapes.measure = c.unit.missing
	c.groups.stack[0].m = root(c.unit.mm)
}

func layerOf(c *Collector, e *sink.Entity) int32 {
	if e.Layer == sink.ByGroup {
		return c.groups.layer()
	}
	return e.Layer
}

// Wanted says whether an entity belongs to the picture. One that does not is
// counted.
func (c *Collector) Wanted(e *sink.Entity, why string) bool {
	if c.notes.stopped {
		return false
	}
	if of := c.layers.list[layerOf(c, e)].why; of != "" {
		why = of
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

// mapOf is the map from an entity's coordinates to mm.
func mapOf(c *Collector, e *sink.Entity) *affine.Map {
	if e.Plane == nil {
		return c.groups.Map()
	}
	m := c.groups.Map().After(e.Plane)
	return &m
}

// Add takes a line or an outline.
func (c *Collector) Add(e *sink.Entity, o sink.Outline) {
	if c.notes.stopped {
		return
	}
	m := mapOf(c, e)
	if !c.shapes.flatten(e, o.Curve, m) {
		return
	}
	if o.Width > 0 {
		c.shapes.pen.SetWidth(float64(o.Width * m.Stretch()))
	}
	closed := o.Closing == sink.Closed || o.Closing == sink.ClosedIfMeeting && c.shapes.endsMeet()
	if c.shapes.keepCurve(e, layerOf(c, e), closed, o.Rule) && !e.Counted {
		c.Count(e, "")
	}
}

// Hatch takes an area by its boundaries, and counts it. Where boundaries lie
// inside others the area alternates.
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
	c.Count(e, "")
}

// Finish ends the file. Hint is what it suggests about its unit, or "".
func (c *Collector) Finish(hint string) {
	if c.notes.stopped {
		return
	}
	c.layers.checkAsked(c.opt)
	if c.unit.unstated {
		reportNoUnit(c.notes, c.opt.Unit, c.shapes.bounds, hint)
	}
}

// Drawing makes the drawing of all that was collected, and lists its problems.
func (c *Collector) Drawing() (*drawing.Drawing, problem.List) {
	d := &drawing.Drawing{
		File: c.notes.file, UnitName: c.unit.name, UnitMM: c.unit.mm, UnitFrom: c.unit.from, UnitInFile: c.unit.inFile,
		Layers: c.layers.names(),
	}
	if !c.notes.stopped && !c.unit.missing {
		d.Contours = c.shapes.finish(d, c.layers.isKept)
	}
	d.Read, d.Skipped = c.tally.sorted()
	return d, c.notes.list.Sorted()
}
