package dxf

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/vector"
)

// The kinds of edges, group 72.
const (
	edgeLine = 1 + iota
	edgeArc
	edgeEllipticArc
	edgeSpline
)

// hatchEdge holds the values of the edge being read.
type hatchEdge struct {
	kind           int // 0 for none
	p, q           vector.XYZ
	radius         float64 // of an arc; of an elliptic arc the ratio of its axes
	start, end     float64 // degrees
	clockwise      bool
	spline         flatten.Spline
	knots, control int // announced
}

// edgeGroup reads a group of a boundary that consists of edges.
func (h *hatch) edgeGroup() {
	e, edge := h.e, &h.edge
	code := e.r.group.code
	if code == 72 {
		h.endEdge()
		*edge = hatchEdge{kind: e.whole(), knots: unannounced, control: unannounced}
		if edge.kind < edgeLine || edge.kind > edgeSpline {
			e.fail(problem.BadValue, problem.Advise(damagedFix), "a boundary's edge cannot be of kind %d (group 72)", edge.kind)
		}
		return
	}
	if edge.kind == edgeSpline {
		h.splineGroup()
		return
	}
	switch code {
	case 10, 20:
		e.point(&edge.p, 10)
	case 11, 21:
		e.point(&edge.q, 11)
	case 40:
		edge.radius = e.num()
	case 50:
		edge.start = e.num()
	case 51:
		edge.end = e.num()
	case 73:
		edge.clockwise = e.whole() == 0
	}
}

// splineGroup reads a group of an edge that is a spline.
func (h *hatch) splineGroup() {
	e, s := h.e, &h.edge.spline
	switch e.r.group.code {
	case 94:
		s.Degree = e.whole()
	case 95:
		h.edge.knots = e.whole()
	case 96:
		h.edge.control = e.whole()
	case 40:
		h.parts++
		s.Knots = append(s.Knots, e.num())
	case 10, 20:
		if s.Control = readListPoint(e, s.Control, 10); e.r.group.code == 10 {
			h.parts++
			s.Control[len(s.Control)-1].Z = h.elevation
		}
	case 42:
		h.parts++
		s.Weights = append(s.Weights, e.num())
	}
}

// endEdge ends the edge being read, if there is one.
func (h *hatch) endEdge() {
	edge := h.edge
	h.edge = hatchEdge{}
	if edge.kind == 0 || h.e.bad {
		return
	}
	h.parts++
	if c := h.curve(&edge); c != nil {
		h.boundary.edges = append(h.boundary.edges, c)
	}
}

// curve makes the curve of an edge, or nil after a problem.
func (h *hatch) curve(edge *hatchEdge) flatten.Curve {
	edge.p.Z, edge.q.Z = h.elevation, h.elevation
	switch edge.kind {
	case edgeLine:
		return &flatten.Line{From: edge.p, To: edge.q}
	case edgeArc:
		return h.arc(edge, vector.XYZ{X: edge.radius}, vector.XYZ{Y: edge.radius}, 1)
	case edgeEllipticArc:
		minor := vector.XYZ{X: -float64(edge.q.Y * edge.radius), Y: float64(edge.q.X * edge.radius)}
		return h.arc(edge, vector.XYZ{X: edge.q.X, Y: edge.q.Y}, minor, edge.radius)
	}
	e, s := h.e, &edge.spline
	if edge.knots != unannounced && edge.knots != len(s.Knots) || edge.control != unannounced && edge.control != len(s.Control) {
		e.fail(problem.BadCount, problem.Advise(damagedFix), "a spline in the boundary of this %s states %d knots and %d control points but has %d and %d",
			e.info.What, edge.knots, edge.control, len(s.Knots), len(s.Control))
		return nil
	}
	if !isSound(e, s) {
		return nil
	}
	return s
}

// arc makes an arc of a circle or an ellipse with the half axes u and v. Its
// angles are in degrees from u; clockwise ones are counted clockwise.
func (h *hatch) arc(edge *hatchEdge, u, v vector.XYZ, ratio float64) flatten.Curve {
	if !(math.Abs(ratio) > 0) || u == (vector.XYZ{}) || v == (vector.XYZ{}) || edge.kind == edgeArc && !(edge.radius > 0) {
		h.e.fail(problem.BadValue, problem.Advise("draw it again"), "an arc in the boundary of this %s has no radius", h.e.info.What)
		return nil
	}
	degrees := turnDegrees(edge.start, edge.end)
	start, stop := ellipseParameter(edge.start, ratio), ellipseParameter(edge.end, ratio)
	sweep := stop - start
	switch {
	case degrees == 360:
		sweep = 2 * arith.Pi
	case sweep <= 0:
		sweep += 2 * arith.Pi
	}
	if edge.clockwise {
		start, sweep = -start, -sweep
	}
	if degrees == 360 {
		return &flatten.Ellipse{Centre: edge.p, U: u, V: v, Start: start, Again: true}
	}
	return &flatten.Arc{Centre: edge.p, U: u, V: v, Start: start, Sweep: sweep}
}

// ellipseParameter turns an angle (degrees) from the long axis into the
// parameter of the ellipse (rad, within ±π).
func ellipseParameter(degrees, ratio float64) float64 {
	sin, cos := arith.SinCosDegrees(degrees)
	return arith.Atan2(sin/ratio, cos)
}
