package drawing

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
)

func (d *dxf) line() {
	var a, b xyz
	for d.field() {
		switch d.g.code {
		case 10:
			a.x = d.num()
		case 20:
			a.y = d.num()
		case 30:
			a.z = d.num()
		case 11:
			b.x = d.num()
		case 21:
			b.y = d.num()
		case 31:
			b.z = d.num()
		default:
			d.common()
		}
	}
	layer, ok := d.wanted("LINE")
	if !ok {
		return
	}
	d.begin()
	d.to(d.xf.at(a.x, a.y, a.z))
	d.to(d.xf.at(b.x, b.y, b.z))
	d.add("LINE", layer, false, contour.Unstated, d.p.at, d.p.end)
}

// arc reads ARC and CIRCLE. Angles are in degrees; an arc runs
// counter-clockwise from 50 to 51.
func (d *dxf) arc(part bool) {
	var c xyz
	var radius, start, end float64
	for d.field() {
		switch d.g.code {
		case 10:
			c.x = d.num()
		case 20:
			c.y = d.num()
		case 30:
			c.z = d.num()
		case 40:
			radius = d.num()
		case 50:
			start = d.num()
		case 51:
			end = d.num()
		default:
			d.common()
		}
	}
	what := "CIRCLE"
	if part {
		what = "ARC"
	}
	layer, ok := d.wanted(what)
	if !ok {
		return
	}
	if !(radius > 0) {
		d.spoiled(problem.BadValue, problem.Advise("delete it, or draw it again"), "the radius of this %s is %v", what, radius)
		return
	}
	d.begin()
	m, ok := d.objectMap()
	if !ok {
		return
	}
	if !part {
		q := conic{m.at(c.x, c.y, c.z), m.along(radius, 0, 0), m.along(0, radius, 0)}
		d.round(&q, 0, d.p.at, d.p.end)
		d.add(what, layer, true, contour.Unstated, d.p.at, d.p.end)
		return
	}
	// The conic is turned so that it begins at the arc's start: then the
	// start and the end are as exact as sine and cosine of degrees.
	s0, c0 := arith.SinCosDegrees(start)
	s1, c1 := arith.SinCosDegrees(end)
	rs, rc := float64(radius*s0), float64(radius*c0)
	q := conic{m.at(c.x, c.y, c.z), m.along(rc, rs, 0), m.along(-rs, rc, 0)}
	degrees := math.Mod(math.Mod(end, 360)-math.Mod(start, 360), 360)
	if degrees <= 0 {
		degrees += 360
	}
	if degrees == 360 {
		d.round(&q, 0, d.p.at, d.p.end)
		d.add(what, layer, true, contour.Unstated, d.p.at, d.p.end)
		return
	}
	d.to(m.at(c.x+rc, c.y+rs, c.z))
	d.sweep(&q, 0, float64(degrees*(arith.Pi/180)), d.p.at, d.p.end)
	d.to(m.at(c.x+float64(radius*c1), c.y+float64(radius*s1), c.z))
	d.add(what, layer, false, contour.Unstated, d.p.at, d.p.end)
}

// ellipse reads ELLIPSE: its centre and its long half axis (from the centre)
// in world coordinates, the ratio of the short one, and the parameters of
// start and end in radians.
func (d *dxf) ellipse() {
	var c, major xyz
	var ratio, start float64
	end := 2 * arith.Pi
	for d.field() {
		switch d.g.code {
		case 10:
			c.x = d.num()
		case 20:
			c.y = d.num()
		case 30:
			c.z = d.num()
		case 11:
			major.x = d.num()
		case 21:
			major.y = d.num()
		case 31:
			major.z = d.num()
		case 40:
			ratio = d.num()
		case 41:
			start = d.num()
		case 42:
			end = d.num()
		default:
			d.common()
		}
	}
	layer, ok := d.wanted("ELLIPSE")
	if !ok {
		return
	}
	n := d.p.normal
	length := math.Sqrt(dot3(n.x, n.y, n.z, n.x, n.y, n.z))
	if !(length > 0) || math.IsInf(length, 0) {
		d.spoiled(problem.BadValue, problem.Advise(damagedFix), "the extrusion direction (group 210) has no length")
		return
	}
	minor := cross(xyz{n.x / length, n.y / length, n.z / length}, major)
	minor = xyz{float64(minor.x * ratio), float64(minor.y * ratio), float64(minor.z * ratio)}
	if ratio == 0 || major == (xyz{}) {
		d.spoiled(problem.BadValue, problem.Advise("delete it, or draw it again"), "this ELLIPSE has an axis without length")
		return
	}
	d.begin()
	d.tilted = n.x != 0 || n.y != 0
	q := conic{d.xf.at(c.x, c.y, c.z), d.xf.along(major.x, major.y, major.z), d.xf.along(minor.x, minor.y, minor.z)}
	d.ellipticArc(&q, start, end, layer)
}

// fullTurn is how near to a whole turn (rad) an ellipse counts as closed:
// files hold the parameters with ten digits or more.
const fullTurn = 1e-9

func (d *dxf) ellipticArc(q *conic, start, end float64, layer int32) {
	sweep, whole, ok := turn(start, end)
	if !ok {
		d.spoiled(problem.BadValue, problem.Advise("draw it again"), "the parameters of this ELLIPSE, %v to %v, are too large", start, end)
		return
	}
	if whole {
		d.round(q, start, d.p.at, d.p.end)
		d.add("ELLIPSE", layer, true, contour.Unstated, d.p.at, d.p.end)
		return
	}
	d.to(q.at(start))
	d.sweep(q, start, sweep, d.p.at, d.p.end)
	d.to(q.at(start + sweep))
	d.add("ELLIPSE", layer, false, contour.Unstated, d.p.at, d.p.end)
}

// turn is the way from start to end (rad), counter-clockwise.
func turn(start, end float64) (sweep float64, whole, ok bool) {
	if !(math.Abs(start) <= 1e4 && math.Abs(end) <= 1e4) {
		return 0, false, false
	}
	sweep = math.Mod(end-start, 2*arith.Pi)
	if sweep < 0 {
		sweep += 2 * arith.Pi
	}
	return sweep, sweep < fullTurn || sweep > 2*arith.Pi-fullTurn, true
}
