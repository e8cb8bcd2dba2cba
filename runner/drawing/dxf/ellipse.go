package dxf

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// readEllipse reads ELLIPSE: its centre and its long half axis (from the
// centre) in world coordinates, the ratio of the short one, and the parameters
// of start and end in radians.
func readEllipse(e *entity) {
	var c, major vector.XYZ
	var ratio, start float64
	end := 2 * arith.Pi
	for e.next() {
		switch e.r.group.code {
		case 10, 20, 30:
			e.point(&c, 10)
		case 11, 21, 31:
			e.point(&major, 11)
		case 40:
			ratio = e.num()
		case 41:
			start = e.num()
		case 42:
			end = e.num()
		default:
			e.common()
		}
	}
	if !e.wanted() {
		return
	}
	n := e.normal
	length := math.Sqrt(n.Dot(n))
	if !(length > 0) || math.IsInf(length, 0) {
		e.fail(problem.BadValue, problem.Advise(damagedFix), "the extrusion direction (group 210) has no length")
		return
	}
	if ratio == 0 || major == (vector.XYZ{}) {
		e.fail(problem.BadValue, problem.Advise("delete it, or draw it again"), "this ELLIPSE has an axis without length")
		return
	}
	minor := vector.XYZ{X: n.X / length, Y: n.Y / length, Z: n.Z / length}.Cross(major).Times(ratio)
	e.info.Tilted = n.X != 0 || n.Y != 0
	sweep, whole, ok := turn(start, end)
	switch {
	case !ok:
		e.fail(problem.BadValue, problem.Advise("draw it again"), "the parameters of this ELLIPSE, %v to %v, are too large", start, end)
	case whole:
		e.scratch.ellipse = flatten.Ellipse{Centre: c, U: major, V: minor, Start: start}
		e.add(&e.scratch.ellipse, sink.Closed)
	default:
		e.scratch.arc = flatten.Arc{Centre: c, U: major, V: minor, Start: start, Sweep: sweep}
		e.add(&e.scratch.arc, sink.Open)
	}
}

// wholeTurn is how near to a whole turn (rad) an ellipse counts as closed: files hold
// the parameters with ten digits or more.
const wholeTurn = 1e-9

// turn is the angle from start to end (rad), counter-clockwise. ok is false for
// parameters so large that the angle would be inexact.
func turn(start, end float64) (sweep float64, whole, ok bool) {
	if !(math.Abs(start) <= 1e4 && math.Abs(end) <= 1e4) {
		return 0, false, false
	}
	sweep = math.Mod(end-start, 2*arith.Pi)
	if sweep < 0 {
		sweep += 2 * arith.Pi
	}
	return sweep, sweep < wholeTurn || sweep > 2*arith.Pi-wholeTurn, true
}
