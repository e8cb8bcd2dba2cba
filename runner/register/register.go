// Package register finds the register marks in a layer's drawing and places
// the drawing on the sheet by them, so that the colours of a picture meet.
//
// It works in passes. Each returns a value and a list of problems: find the
// marks, fit the drawing to them, lay the contours on the sheet.
package register

import (
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/colour"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// Placement is where a drawing lies on the sheet: turned about the drawing's
// zero, then shifted. It never scales and never mirrors.
type Placement struct {
	Layer    string  // the layer's name
	Drawing  string  // the drawing's file
	Cos, Sin float64 // of the turn, counter-clockwise
	DX, DY   float64 // mm, the recipe's offsets included
	TurnDeg  float64 // the turn in degrees; 0 with a single mark
	Marks    []Found // in the order of the recipe
	RMS      float64 // mm, root of the mean squared distance of the marks from their places
	MarksOut int     // contours that belong to marks and are not painted
	// Cut and CutAway count the shapes and lines that were cut, and those of which
	// nothing is left.
	Cut, CutAway int
	Clipped      bool    // the drawing has clips at which something may be cut
	Covers       []Cover // in the order of the drawing; only where the layer leaves what is covered
	// LayerPlace is the cell of the recipe that names the drawing.
	LayerPlace source.Place
}

// Found is a mark as found in the drawing, lengths in mm.
type Found struct {
	Name     string
	Stated   float64   // side of the square as the recipe states it
	Measured float64   // side of the square as drawn
	At       vector.XY // its centre in the drawing
	// OffX and OffY (mm) are the way from the mark's place on the sheet, as
	// stated in the recipe, to where the placement puts it, without the layer's
	// offsets.
	OffX, OffY float64
	Place      source.Place // in the drawing
}

// Apply returns the place on the sheet, in mm, of a point of the drawing.
func (p Placement) Apply(q vector.XY) vector.XY {
	return vector.XY{
		X: float64(p.Cos*q.X) - float64(p.Sin*q.Y) + p.DX,
		Y: float64(p.Sin*q.X) + float64(p.Cos*q.Y) + p.DY,
	}
}

// Contour is a drawn contour on the sheet, to be painted.
type Contour struct {
	contour.Identity
	Points []plane.Point // without the first point again at the end of a closed contour
	Closed bool
	Widths []float64 // mm, one per point, or nil
}

// IsArea reports whether the drawing itself has an area here, and no outline that may
// also be a line.
func (c *Contour) IsArea() bool {
	return c.Widths != nil || c.Closed && (c.Filled || c.Rule != contour.Unstated)
}

// Cover is a contour of the drawing, on the sheet, that the layer does not paint and
// through which nothing shows. Its number is that of the first painted contour that
// was drawn after it.
type Cover struct {
	Contour
	Layer string // its drawing layer
	Later bool   // a later layer of the recipe paints it
}

// Place finds the marks in a layer's drawing, lays the drawing on the sheet by
// them and returns what is left to paint. Marks are never painted, nor is what
// lies wholly inside one.
//
// One mark gives the position alone; its sides must agree with the sheet's.
// Two or more give the turn as well, by least squares without scale or mirror
// (S. Umeyama, IEEE PAMI 13, 1991, 376-380); the Placement holds the
// residuals. The layer's offsets come on top. Without any mark in the recipe
// the drawing's coordinates are the sheet's. A mark that is painted on the sheet
// may be missing from a drawing.
//
// If the list holds an error, the contours are nil.
func Place(d *drawing.Drawing, layer *model.Layer, marks []model.Mark, sheet *model.Sheet) (Placement, []Contour, problem.List) {
	return PlaceAt(d, layer, marks, sheet, vector.XY{})
}

// PlaceAt is Place with the drawing's zero at a place on the sheet (mm) where
// the recipe has no mark.
func PlaceAt(d *drawing.Drawing, layer *model.Layer, marks []model.Mark, sheet *model.Sheet, zero vector.XY) (Placement, []Contour, problem.List) {
	d, far := moveNear(d)
	t := &task{d, layer, drawn(d, marks), sheet, far}
	p, contours, problems := t.place(zero)
	p.DX, p.DY = p.DX-float64(p.Cos*far.X)+float64(p.Sin*far.Y), p.DY-float64(p.Sin*far.X)-float64(p.Cos*far.Y)
	for i := range p.Marks {
		p.Marks[i].At = p.Marks[i].At.Plus(far)
	}
	return p, contours, problems
}

// place is Place for a drawing that lies near its zero. The placement is from
// there.
func (t *task) place(zero vector.XY) (Placement, []Contour, problem.List) {
	layer := t.layer
	p := Placement{Layer: layer.Name, Drawing: t.file(), Cos: 1, LayerPlace: layer.DrawingPlace,
		DX: layer.OffsetX + (zero.X + t.far.X), DY: layer.OffsetY + (zero.Y + t.far.Y)}
	problems := checkMarks(t)
	found, faults := find(t)
	problems = append(problems, faults...)
	if faults.HasErrors() {
		return p, nil, problems
	}
	if len(found) == 1 {
		problems = append(problems, checkSingle(t, found[0])...)
	}
	problems = append(problems, fit(t, found, &p)...)
	contours, faults := lay(t, found, &p)
	problems = append(problems, faults...)
	if problems.HasErrors() {
		return p, nil, problems
	}
	return p, contours, problems
}

// drawn are the marks that the drawing must have, and of those that are painted
// on the sheet the ones that it has.
func drawn(d *drawing.Drawing, marks []model.Mark) []model.Mark {
	var out []model.Mark
	var all []square
	if slices.ContainsFunc(marks, func(m model.Mark) bool { return m.Painted != "" }) {
		all = squares(d.Contours)
	}
	for _, m := range marks {
		t := &task{drawing: d}
		if m.Painted == "" || slices.ContainsFunc(all, func(s square) bool { return t.onLayer(s, m) && math.Abs(s.size-m.Size) <= sizeWithin }) {
			out = append(out, m)
		}
	}
	return out
}

// task is a layer that is to be placed. No pass changes it.
type task struct {
	drawing *drawing.Drawing
	layer   *model.Layer
	marks   []model.Mark
	sheet   *model.Sheet
	far     vector.XY // what was taken off the drawing's coordinates
}

// nearEnough (mm) is how far from its zero a drawing may lie and be placed as it
// is: as far as sheets reach.
const nearEnough = 10_000

// moveNear moves a drawing that lies far from its zero near to it, by whole mm,
// so that no digit of a coordinate is lost when it is turned and placed. far is
// what it took off.
func moveNear(d *drawing.Drawing) (near *drawing.Drawing, far vector.XY) {
	low, high, ok := d.Bounds()
	if !ok || max(-low.X, -low.Y, high.X, high.Y) <= nearEnough {
		return d, far
	}
	far = vector.XY{X: math.Floor(low.X), Y: math.Floor(low.Y)}
	out := *d
	out.Contours = slices.Clone(d.Contours)
	moved := map[*drawing.Clip]*drawing.Clip{}
	for i := range out.Contours {
		c := &out.Contours[i]
		c.Clips = slices.Clone(c.Clips)
		for k, clip := range c.Clips {
			if moved[clip] == nil {
				moved[clip] = clip.Map(func(p vector.XY) vector.XY { return p.Minus(far) })
			}
			c.Clips[k] = moved[clip]
		}
		c.Points = slices.Clone(c.Points)
		for k, p := range c.Points {
			c.Points[k] = p.Minus(far)
		}
	}
	return &out, far
}

// xy writes a place in the drawing.
func (t *task) xy(p vector.XY) string { return xy(p.Plus(t.far)) }

// file is the name of the drawing file.
func (t *task) file() string {
	if t.drawing.File != nil {
		return t.drawing.File.Name
	}
	return t.layer.Drawing
}

// paints reports whether a contour is on the drawing layer, and of a colour, that is
// to be painted.
func (t *task) paints(c drawing.Contour) bool { return Paints(t.layer, &c) }

// covers reports whether a contour that is not painted may hide what is. One that a
// clip cuts hides nothing: how much of it shows is not known here.
func (t *task) covers(c drawing.Contour) bool {
	area := c.Closed && (t.layer.Outlines != model.AsLines || c.Filled || c.Rule != contour.Unstated)
	return t.layer.Covered == model.LeaveCovered && len(c.Clips) == 0 && c.Paint.Covers() && (area || c.Widths != nil)
}

// Paints reports whether a layer paints a contour of its drawing that is no mark.
func Paints(l *model.Layer, c *drawing.Contour) bool {
	if c.Paint.Kind == contour.Bare {
		return false
	}
	if l.Covered == model.LeaveCovered && !l.DrawingColours.Chosen() && c.Paint.Covers() && c.Paint.RGB == colour.White {
		return false // it is bare paper
	}
	return (l.DrawingLayer == "" || strings.EqualFold(c.Layer, l.DrawingLayer)) && l.DrawingColours.Take(c.Paint.RGB, c.Paint.HasColour())
}

// onLayer reports whether a square is on the drawing layer of a mark.
func (t *task) onLayer(s square, m model.Mark) bool {
	return m.DrawingLayer == "" || slices.ContainsFunc(s.contours, func(c int) bool {
		return strings.EqualFold(t.drawing.Contours[c].Layer, m.DrawingLayer)
	})
}

func (t *task) placeOf(s square) source.Place { return t.drawing.Contours[s.contours[0]].Place }

// checkMarks refuses marks that lie partly off the sheet.
func checkMarks(t *task) problem.List {
	var problems problem.List
	for _, m := range t.marks {
		half := m.Size / 2
		if m.X-half < 0 || m.Y-half < 0 || m.X+half > t.sheet.Width || m.Y+half > t.sheet.Height {
			problems.Errorf(problem.MarkOffSheet, m.Place, problem.Advise("give x and y of the mark's centre, measured from the sheet's lower left corner"),
				"the mark %q of %s mm at %s mm, %s mm is not on the sheet of %s x %s mm",
				m.Name, mm(m.Size), mm(m.X), mm(m.Y), mm(t.sheet.Width), mm(t.sheet.Height))
		}
	}
	return problems
}
