package dxf

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// circle holds the values of a CIRCLE or ARC.
type circle struct {
	centre     vector.XYZ
	radius     float64
	start, end float64 // degrees
}

// readCircleGroups reads the groups of CIRCLE or ARC.
func readCircleGroups(e *entity) (c circle, ok bool) {
	for e.next() {
		switch e.r.group.code {
		case 10, 20, 30:
			e.point(&c.centre, 10)
		case 40:
			c.radius = e.num()
		case 50:
			c.start = e.num()
		case 51:
			c.end = e.num()
		default:
			e.common()
		}
	}
	if !e.wanted() {
		return c, false
	}
	if !(c.radius > 0) {
		e.fail(problem.BadValue, problem.Advise("delete it, or draw it again"), "the radius of this %s is %v", e.info.What, c.radius)
		return c, false
	}
	return c, e.extruded()
}

// readCircle reads CIRCLE.
func readCircle(e *entity) {
	c, ok := readCircleGroups(e)
	if !ok {
		return
	}
	e.scratch.ellipse = flatten.Ellipse{Centre: c.centre, U: vector.XYZ{X: c.radius}, V: vector.XYZ{Y: c.radius}}
	e.add(&e.scratch.ellipse, sink.Closed)
}

// readArc reads ARC: it runs counter-clockwise from 50 to 51, in degrees.
func readArc(e *entity) {
	c, ok := readCircleGroups(e)
	if !ok {
		return
	}
	// The axes are turned so that the arc begins at t = 0: then start and end are as
	// exact as sine and cosine in degrees.
	s0, c0 := arith.SinCosDegrees(c.start)
	s1, c1 := arith.SinCosDegrees(c.end)
	u := vector.XYZ{X: float64(c.radius * c0), Y: float64(c.radius * s0)}
	v := vector.XYZ{X: -u.Y, Y: u.X}
	degrees := turnDegrees(c.start, c.end)
	if degrees == 360 {
		e.scratch.ellipse = flatten.Ellipse{Centre: c.centre, U: u, V: v}
		e.add(&e.scratch.ellipse, sink.Closed)
		return
	}
	e.scratch.arc = flatten.Arc{
		Centre: c.centre, U: u, V: v, Sweep: float64(degrees * (arith.Pi / 180)), Ends: true,
		From: vector.XYZ{X: c.centre.X + u.X, Y: c.centre.Y + u.Y, Z: c.centre.Z},
		To:   vector.XYZ{X: c.centre.X + float64(c.radius*c1), Y: c.centre.Y + float64(c.radius*s1), Z: c.centre.Z},
	}
	e.add(&e.scratch.arc, sink.Open)
}

// turnDegrees is the angle from start to end counter-clockwise: more than 0, at most
// 360.
func turnDegrees(start, end float64) float64 {
	degrees := math.Mod(math.Mod(end, 360)-math.Mod(start, 360), 360)
	if degrees <= 0 {
		degrees += 360
	}
	return degrees
}
