package dxf

import (
	"math"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Bits of group 70 of SPLINE.
const splineClosed = 1

// splineCounts holds the counts that a SPLINE states.
type splineCounts struct{ knots, control, fit int }

// readSpline reads SPLINE. Its points are in world coordinates.
func readSpline(e *entity) {
	s, fit := &e.scratch.spline, &e.scratch.fit
	*s = flatten.Spline{Degree: 3, Knots: s.Knots[:0], Weights: s.Weights[:0], Control: s.Control[:0]}
	*fit = flatten.Interpolation{Through: fit.Through[:0]}
	flags := 0
	counts := splineCounts{unannounced, unannounced, unannounced}
	for e.next() {
		switch code := e.r.group.code; code {
		case 10, 20, 30:
			s.Control = readListPoint(e, s.Control, 10)
		case 11, 21, 31:
			fit.Through = readListPoint(e, fit.Through, 11)
		case 12, 22, 32:
			e.point(&fit.Start, 12)
		case 13, 23, 33:
			e.point(&fit.End, 13)
		case 40:
			s.Knots = append(s.Knots, e.num())
		case 41:
			s.Weights = append(s.Weights, e.num())
		case 70:
			flags = e.whole()
		case 71:
			s.Degree = e.whole()
		case 72:
			counts.knots = e.whole()
		case 73:
			counts.control = e.whole()
		case 74:
			counts.fit = e.whole()
		case 210, 220, 230: // the normal of a planar spline
		default:
			e.common()
		}
		if e.tooLong(len(s.Control) + len(fit.Through) + len(s.Knots) + len(s.Weights)) {
			return
		}
	}
	if !e.wanted() || !e.counted(counts.knots, len(s.Knots), "knots", 72) ||
		!e.counted(counts.control, len(s.Control), "control points", 73) || !e.counted(counts.fit, len(fit.Through), "fit points", 74) {
		return
	}
	closed := flags&splineClosed != 0
	switch {
	case len(s.Control) == 0:
		addFit(e, closed)
	case isSound(e, s):
		// Closed means that the curve ends where it began; one that does not
		// is left open, to be reported as such.
		if closed {
			e.add(s, sink.ClosedIfMeeting)
		} else {
			e.add(s, sink.Open)
		}
	}
}

// readListPoint reads the current group as a coordinate of the last point of a list. An
// x begins a new point.
func readListPoint(e *entity, list []vector.XYZ, code int) []vector.XYZ {
	if e.r.group.code == code {
		list = append(list, vector.XYZ{})
	}
	if n := len(list); n > 0 {
		e.point(&list[n-1], code)
	}
	return list
}

func isSound(e *entity, s *flatten.Spline) bool {
	if fault := s.Check(); fault != "" {
		e.fail(problem.BadSpline, problem.Advise("draw it again, or save it as polylines"), "%s", fault)
		return false
	}
	return true
}

// addFit passes a spline that is given by points on it to the sink.
func addFit(e *entity, closed bool) {
	fit := &e.scratch.fit
	fit.Closed = closed
	const outOfReach = 1e12 // in any unit; such points are reported by themselves
	far := func(p vector.XYZ) bool { return max(math.Abs(p.X), math.Abs(p.Y)) > outOfReach }
	if slices.ContainsFunc(fit.Through, func(p vector.XYZ) bool { return p != fit.Through[0] }) && !slices.ContainsFunc(fit.Through, far) {
		e.warnOnce(problem.FitPoints, "", problem.Advise("save splines with their control points to be sure of their shape"),
			"this SPLINE is given only by points that it runs through; between them it is read as a cubic spline over the length of its chords")
	}
	e.add(fit, closing(closed))
}
