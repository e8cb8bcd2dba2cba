package collect

import (
	"math"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/doubles"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/joining"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Limits on one file. They count work and not time, so that every computer refuses
// the same files.
const (
	maxPoints = 8_000_000 // points of all flattened curves
	maxShapes = 1_200_000 // outlines and loose lines
	reachMM   = 10_000    // mm from the origin
	// Mm from the origin of a drawing that will be moved: more than twice around
	// the Earth, for maps in the coordinates of a country. A coordinate is still
	// good to 0.00002 mm there.
	anywhereMM = 1e11
)

// shapes holds the outlines and loose lines of a drawing, in mm.
type shapes struct {
	notes   *notes
	tally   *tally
	gap     float64 // mm
	reach   float64 // mm from the origin
	measure bool    // only the size is wanted
	apart   bool    // by colour
	byKind  bool    // areas and outlines
	cut     bool    // the current curve crosses a clip at which it is cut: it joins no other

	pen    flatten.Pen
	buffer flatten.Buffer
	box    vector.Box // around the last curve
	edges  edgeList   // scratch

	points   int        // of all curves so far
	count    int32      // of outlines and loose lines so far
	areas    int        // so far
	bounds   vector.Box // around all curves
	contours []drawing.Contour
	info     []doubles.Info // by contour
	lines    []joining.Line
	thin     thinOutlines
}

func newShapes(opt drawing.Options, n *notes, t *tally, outlines int) *shapes {
	s := &shapes{
		notes: n, tally: t, gap: opt.Gap, apart: opt.ByColour, byKind: opt.Lines, reach: reachMM, pen: flatten.Pen{Tolerance: opt.Tolerance}, bounds: vector.Empty(),
		contours: make([]drawing.Contour, 0, outlines), info: make([]doubles.Info, 0, outlines),
	}
	if opt.Anywhere {
		s.reach = anywhereMM
	}
	return s
}

// flatten lays a curve down as chords with the pen.
func (s *shapes) flatten(e *sink.Entity, curve flatten.Curve, m *affine.Map) bool {
	s.pen.Begin(s.buffer.Free())
	s.pen.Rough, s.pen.Room = s.measure, maxPoints-s.points
	whole := curve.Flatten(m, &s.pen)
	switch {
	case s.pen.Full:
		s.points = maxPoints + 1 // for withinBudget to report
		s.withinBudget(e)
		return false
	case !whole:
		s.notes.elementf(problem.BadSpline, e.At, e.End, problem.Advise("draw it as two splines"), "a spline of this %s has a gap at a knot inside", e.What)
		return false
	}
	return true
}

// meets reports whether two points are within the gap of each other.
func (s *shapes) meets(p, q vector.XY) bool {
	return vector.Distance2(p, q) <= float64(s.gap*s.gap)
}

// endsMeet reports whether the curve that was laid down comes back to its start.
func (s *shapes) endsMeet() bool {
	path := s.pen.Points
	return len(path) > 0 && s.meets(path[0], path[len(path)-1])
}

// keepCurve keeps the curve that was laid down, unless nothing is left of it.
func (s *shapes) keepCurve(e *sink.Entity, layer int32, closed bool, rule contour.FillRule) bool {
	if !s.withinReach(e) {
		return false
	}
	if e.Tilted {
		s.notes.warnOnce(problem.TiltedPlane, e.At, e.End, problem.Advise("flatten the drawing onto the plane of the sheet if this is not meant"),
			"this %s lies in a tilted plane; it is read as seen from straight above", e.What)
	}
	wide := len(s.pen.Widths) > 0
	if path := s.pen.Points; !closed && len(path) > 3 && !wide && flatten.Same(path[0], path[len(path)-1]) {
		closed = true // it comes back to its start, so it is an outline, even if the file calls it open
	}
	s.pen.Tidy(closed)
	switch n := len(s.pen.Points); {
	case n < 2:
		s.tally.count(e.What, layer, "has no length", e.At, e.End)
		return false
	case closed && n < 3 && !wide:
		s.tally.count(e.What, layer, "closed, but has no area", e.At, e.End)
		return false
	}
	s.count++
	points := s.buffer.Keep(s.pen.Points)
	if !closed && !wide && !s.cut {
		s.lines = append(s.lines, joining.Line{Points: points, At: int32(e.At), End: int32(e.End), Layer: layer, Order: s.count, Paint: e.Paint})
		return true
	}
	k := drawing.Contour{Identity: contour.Identity{Rule: rule, Paint: e.Paint, Filled: e.Filled, Place: s.notes.place(e.At, e.End)}, Points: points, Closed: closed, Layer: s.tally.layers.list[layer].name}
	if rule != contour.Unstated {
		k.Group = s.areas
	}
	if wide {
		k.Widths = slices.Clone(s.pen.Widths)
	}
	s.contours = append(s.contours, k)
	s.info = append(s.info, doubles.Info{Order: s.count, Box: s.box})
	return true
}

// withinReach checks that the curve's points lie within reach, and that there are not
// too many.
func (s *shapes) withinReach(e *sink.Entity) bool {
	if len(s.pen.Points) == 0 {
		return !s.notes.stopped
	}
	limit := s.reach
	if s.measure {
		limit = 1e15
	}
	box, sound := bounds(s.pen.Points)
	if !(sound && box.Min.X >= -limit && box.Min.Y >= -limit && box.Max.X <= limit && box.Max.Y <= limit) {
		for _, p := range s.pen.Points {
			if !(math.Abs(p.X) <= limit && math.Abs(p.Y) <= limit) {
				far := "10 m"
				if s.reach > reachMM {
					far = "100,000 km"
				}
				s.notes.errorf(problem.BeyondReach, e.At, e.End, problem.Advise("state its size in the column drawn size of the layer, check its unit, or move the drawing near its origin; with a register mark it may lie anywhere"),
					"this %s reaches (%s, %s) mm, more than %s from the origin", e.What, drawing.Short(p.X), drawing.Short(p.Y), far)
				return false
			}
		}
	}
	s.box = box
	s.bounds = s.bounds.Union(box)
	s.points += len(s.pen.Points)
	return s.withinBudget(e)
}

// bounds is the box around points; sound is false if a coordinate is not a finite
// number.
func bounds(points []vector.XY) (box vector.Box, sound bool) {
	lo, hi := points[0], points[0]
	check := 0.0 // becomes NaN if a coordinate is not finite
	for _, p := range points {
		if p.X < lo.X {
			lo.X = p.X
		} else if p.X > hi.X {
			hi.X = p.X
		}
		if p.Y < lo.Y {
			lo.Y = p.Y
		} else if p.Y > hi.Y {
			hi.Y = p.Y
		}
		check += (p.X - p.X) + (p.Y - p.Y)
	}
	return vector.Box{Min: lo, Max: hi}, check == 0
}

func (s *shapes) withinBudget(e *sink.Entity) bool {
	switch {
	case s.points > maxPoints:
		s.notes.stopf(problem.TooLarge, e.At, e.End, problem.Advise("split the drawing, or simplify its curves"),
			"the drawing has more than %d points", maxPoints)
	case s.count > maxShapes:
		s.notes.stopf(problem.TooLarge, e.At, e.End, problem.Advise("split the drawing, or join its lines to polylines"),
			"the drawing has more than %d lines and outlines", maxShapes)
	}
	return !s.notes.stopped
}

// shapesMark is a state of shapes to roll back to.
type shapesMark struct {
	contours int
	count    int32
}

func (s *shapes) mark() shapesMark { return shapesMark{len(s.contours), s.count} }

// rollBack forgets the outlines since a mark.
func (s *shapes) rollBack(m shapesMark) {
	s.contours, s.info, s.count = s.contours[:m.contours], s.info[:m.contours], m.count
}
