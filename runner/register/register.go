// Package register finds the register marks in a layer's drawing and lays the
// drawing on the sheet by them, so that the colours of a picture meet.
package register

import (
	"math"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
)

// Placement is where a drawing lies on the sheet: turned about the drawing's
// zero, then shifted. It never scales and never mirrors.
type Placement struct {
	Layer    string  // the layer's name
	Drawing  string  // the drawing's file
	Cos, Sin float64 // of the turn, counter-clockwise
	DX, DY   float64 // mm, the recipe's offsets included
	TurnDeg  float64 // the turn in degrees, 0 where a single mark gives none
	Marks    []Found // in the order of the recipe
	RMS      float64 // mm, root of the mean squared distance of the marks from their places
	MarksOut int     // contours that belong to marks and are not painted
	Box      plane.Box
	// LayerPlace is the cell of the recipe that names the drawing.
	LayerPlace source.Place
}

// Found is a mark as found in the drawing, lengths in mm.
type Found struct {
	Name     string
	Stated   float64    // side of the square as the recipe states it
	Measured float64    // and as drawn
	At       drawing.XY // its middle in the drawing
	// OffX and OffY lead from the mark's place on the sheet, as the recipe
	// states it, to where the placement puts it before the layer's offsets.
	OffX, OffY float64
	Place      source.Place // in the drawing
}

// Apply gives the place on the sheet, in mm, of a point of the drawing.
func (p Placement) Apply(q drawing.XY) drawing.XY {
	return drawing.XY{
		X: float64(p.Cos*q.X) - float64(p.Sin*q.Y) + p.DX,
		Y: float64(p.Sin*q.X) + float64(p.Cos*q.Y) + p.DY,
	}
}

// Contour is a drawn contour on the sheet, left to be painted.
type Contour struct {
	contour.Identity
	Points []plane.Point // the last point of a closed contour does not repeat the first
	Closed bool
	Widths []float64 // mm, one a point, or nil
}

// Two coordinates closer than this (mm) are the same to the eye of the check
// on margins: half a grid step and the rounding of a turn.
const rounding = 0.0002

// Place finds the marks in a layer's drawing, lays the drawing on the sheet by
// them and returns what is left to paint. Marks are never painted, nor is what
// lies wholly inside one.
//
// One mark gives the position. Two or more give the turn as well, by least
// squares without scale or mirror (S. Umeyama, IEEE PAMI 13, 1991, 376-380);
// what is left over stands in the Placement. The layer's offsets come on top.
// Without any mark in the recipe the drawing's coordinates are the sheet's.
//
// Where the list holds an error the contours are nil.
func Place(d *drawing.Drawing, layer *model.Layer, marks []model.Mark, sheet *model.Sheet) (Placement, []Contour, problem.List) {
	r := registration{d: d, layer: layer, marks: marks, sheet: sheet}
	p := Placement{Layer: layer.Name, Drawing: r.name(), Cos: 1, DX: layer.OffsetX, DY: layer.OffsetY, LayerPlace: layer.DrawingPlace}
	r.checkMarks()
	found, ok := r.find()
	if !ok {
		return p, nil, r.problems
	}
	r.fit(&p, found)
	contours := r.place(&p, found)
	if r.problems.HasErrors() {
		return p, nil, r.problems
	}
	return p, contours, r.problems
}

// registration is one layer on its way to the sheet.
type registration struct {
	d        *drawing.Drawing
	layer    *model.Layer
	marks    []model.Mark
	sheet    *model.Sheet
	squares  []square
	problems problem.List
}

// name is that of the drawing file.
func (r *registration) name() string {
	if r.d.File != nil {
		return r.d.File.Name
	}
	return r.layer.Drawing
}

// checkMarks refuses marks that no sheet can carry.
func (r *registration) checkMarks() {
	for _, m := range r.marks {
		half := m.Size / 2
		if m.X-half < 0 || m.Y-half < 0 || m.X+half > r.sheet.Width || m.Y+half > r.sheet.Height {
			r.problems.Errorf(problem.MarkOffSheet, m.Place, problem.Advise("give x and y of the mark's middle, measured from the sheet's lower left corner"),
				"the mark %q of %s mm at %s mm, %s mm does not lie on the sheet of %s x %s mm",
				m.Name, mm(m.Size), mm(m.X), mm(m.Y), mm(r.sheet.Width), mm(r.sheet.Height))
		}
	}
}

// fit finds turn and shift.
func (r *registration) fit(p *Placement, found []square) {
	from, to := make([]drawing.XY, len(found)), make([]drawing.XY, len(found))
	for i, s := range found {
		from[i], to[i] = s.at, drawing.XY{X: r.marks[i].X, Y: r.marks[i].Y}
	}
	if len(found) > 0 {
		t := rigid(from, to)
		p.Cos, p.Sin, p.RMS = t.cos, t.sin, t.rms
		p.TurnDeg = arith.Atan2(t.sin, t.cos) * 180 / arith.Pi
		p.DX, p.DY = t.dx+r.layer.OffsetX, t.dy+r.layer.OffsetY
		for i, s := range found {
			at := t.apply(s.at)
			p.Marks = append(p.Marks, Found{
				Name: r.marks[i].Name, Stated: r.marks[i].Size, Measured: s.size, At: s.at,
				OffX: at.X - to[i].X, OffY: at.Y - to[i].Y, Place: r.d.Contours[s.contours[0]].Place,
			})
		}
	}
	r.checkAgreement(p, from, to)
}

// How far (mm) a mark may lie from where the best fit of all puts it: above the first
// figure the page tells it, above the second the layers would not meet. Marks
// are drawn and stated in figures, so that the difference is a slip, not a
// measurement.
const (
	slightlyOff = 0.05
	off         = 0.25
)

// Turn (degrees) above which a drawing laid by two marks or more was hardly
// drawn on this sheet.
const largeTurn = 5

func (r *registration) checkAgreement(p *Placement, from, to []drawing.XY) {
	worst, distance := -1, 0.0
	for i, m := range p.Marks {
		if d := arith.Hypot(m.OffX, m.OffY); d > distance {
			worst, distance = i, d
		}
	}
	if distance > slightlyOff {
		m := p.Marks[worst]
		related := []problem.Related{{Place: m.Place, Note: "the mark as drawn"}}
		growth := ""
		if s := spread(from, to); math.Abs(s-1) > 0.0005 {
			growth = "; the drawing's marks lie " + percent(s) + " " + farOrNear(s) + " than the recipe's"
		}
		fix := problem.Advise("correct x and y of the marks in the recipe, or the mark in the drawing")
		if distance > off {
			r.problems.Add(problem.Problem{Code: problem.MarksDisagree, Place: r.marks[worst].Place, Related: related, Fix: fix,
				Message: "in " + r.name() + " the mark " + quote(m.Name) + " lies " + mm(distance) + " mm from where the best fit of all marks puts it" + growth})
		} else {
			r.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.MarksSlightlyOff, Place: r.marks[worst].Place, Related: related, Fix: fix,
				Message: "in " + r.name() + " the mark " + quote(m.Name) + " lies " + mm(distance) + " mm from where the best fit of all marks puts it" + growth})
		}
	}
	if turn := math.Abs(p.TurnDeg); turn > largeTurn {
		r.problems.Warnf(problem.LargeTurn, r.layer.DrawingPlace,
			problem.Advise("where this was not meant, the drawing may be mirrored or its marks exchanged; draw it the way the sheet lies"),
			"the marks turn %s by %.1f degrees on the sheet", r.name(), p.TurnDeg)
	}
}

// place lays the contours that are left on the sheet.
func (r *registration) place(p *Placement, found []square) []Contour {
	isMark := make([]bool, len(r.d.Contours))
	for _, s := range found {
		for _, c := range s.contours {
			isMark[c] = true
		}
	}
	p.MarksOut = r.insideMarks(found, isMark)
	var contours []Contour
	var sheetPoints [][]drawing.XY
	for i, c := range r.d.Contours {
		if isMark[i] || !r.painted(c) {
			continue
		}
		points := make([]drawing.XY, len(c.Points))
		for k, q := range c.Points {
			points[k] = p.Apply(q)
		}
		sheetPoints = append(sheetPoints, points)
		identity := c.Identity
		identity.Shape = len(contours)
		contours = append(contours, Contour{Identity: identity, Closed: c.Closed, Widths: c.Widths})
	}
	if len(contours) == 0 {
		r.problems.Errorf(problem.NothingToPaint, r.layer.DrawingPlace, problem.Advise("draw the layer's shapes, or name the drawing layer they stand on"),
			"%s holds nothing to paint besides its marks", r.name())
		return nil
	}
	if !r.onSheet(p, contours, sheetPoints) {
		return nil
	}
	var box plane.Box
	for i := range contours {
		points := make([]plane.Point, len(sheetPoints[i]))
		for k, q := range sheetPoints[i] {
			points[k] = plane.At(q.X, q.Y)
		}
		contours[i].Points = points
		b := plane.Bounds(points)
		if i == 0 {
			box = b
		}
		box.Min.X, box.Min.Y = min(box.Min.X, b.Min.X), min(box.Min.Y, b.Min.Y)
		box.Max.X, box.Max.Y = max(box.Max.X, b.Max.X), max(box.Max.Y, b.Max.Y)
	}
	p.Box = box
	return contours
}

// painted tells whether a contour stands on the drawing layer to be painted.
func (r *registration) painted(c drawing.Contour) bool {
	return r.layer.DrawingLayer == "" || strings.EqualFold(c.Layer, r.layer.DrawingLayer)
}

// insideMarks adds to the marks what lies wholly inside one, such as a cross
// or a second outline, tells it, and counts all contours of marks.
func (r *registration) insideMarks(found []square, isMark []bool) int {
	n, inside := 0, 0
	var first source.Place
	for i, c := range r.d.Contours {
		for _, s := range found {
			if !isMark[i] && r.painted(c) && s.holds(c.Points) {
				isMark[i] = true
				if inside++; inside == 1 {
					first = c.Place
				}
			}
		}
		if isMark[i] {
			n++
		}
	}
	if inside > 0 {
		r.problems.Warnf(problem.InsideMark, first, problem.Advise("draw nothing that is to be painted inside a register mark"),
			"%d %s inside a register mark, %s taken for a part of it, and not painted",
			inside, plural(inside, "contour lies", "contours lie"), plural(inside, "is", "are"))
	}
	return n
}
