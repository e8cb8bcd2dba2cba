package drawing

import (
	"math"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// Bits of group 70 of SPLINE.
const splineClosed = 1

// spline reads SPLINE.
func (d *dxf) spline() {
	d.knots, d.weights, d.control, d.fits = d.knots[:0], d.weights[:0], d.control[:0], d.fits[:0]
	flags, degree := 0, 3
	knots, control, fits := unannounced, unannounced, unannounced
	var tangents [2]xyz
	for d.field() {
		switch d.g.code {
		case 10:
			d.control = append(d.control, xyz{x: d.num()})
		case 20:
			if n := len(d.control); n > 0 {
				d.control[n-1].y = d.num()
			}
		case 30:
			if n := len(d.control); n > 0 {
				d.control[n-1].z = d.num()
			}
		case 11:
			d.fits = append(d.fits, xyz{x: d.num()})
		case 21:
			if n := len(d.fits); n > 0 {
				d.fits[n-1].y = d.num()
			}
		case 31:
			if n := len(d.fits); n > 0 {
				d.fits[n-1].z = d.num()
			}
		case 12, 13:
			tangents[d.g.code-12].x = d.num()
		case 22, 23:
			tangents[d.g.code-22].y = d.num()
		case 40:
			d.knots = append(d.knots, d.num())
		case 41:
			d.weights = append(d.weights, d.num())
		case 70:
			flags = d.whole()
		case 71:
			degree = d.whole()
		case 72:
			knots = d.whole()
		case 73:
			control = d.whole()
		case 74:
			fits = d.whole()
		case 210, 220, 230:
			// The normal of a planar spline: its points are in world
			// coordinates all the same.
		default:
			d.common()
		}
		if d.tooLong(len(d.control) + len(d.fits) + len(d.knots) + len(d.weights)) {
			return
		}
	}
	layer, ok := d.wanted("SPLINE")
	if !ok {
		return
	}
	for _, c := range [...]struct {
		what      string
		announced int
		found     int
		code      int
	}{{"knots", knots, len(d.knots), 72}, {"control points", control, len(d.control), 73}, {"fit points", fits, len(d.fits), 74}} {
		if c.announced != unannounced && c.announced != c.found {
			d.spoiled(problem.BadCount, problem.Advise(damagedFix), "this SPLINE announces %d %s (group %d) and has %d", c.announced, c.what, c.code, c.found)
			return
		}
	}
	closed := flags&splineClosed != 0
	d.begin()
	if len(d.control) > 0 {
		s, ok := d.checkedSpline(&d.xf, degree)
		if !ok {
			return
		}
		if !d.follow(s, d.p.at, d.p.end) {
			d.spoiled(problem.BadSpline, problem.Advise("draw it as two splines"), "this SPLINE breaks off at a knot inside")
			return
		}
		// Closed means that the curve ends where it began; one that does not
		// is left open, to be reported as such.
		closed = closed && d.meets(d.path[0], d.path[len(d.path)-1])
		d.add("SPLINE", layer, closed, contour.Unstated, d.p.at, d.p.end)
		return
	}
	d.fitSpline(layer, closed, tangents)
}

func (d *dxf) meets(p, q XY) bool {
	return vector.Distance2(p, q) <= float64(d.opt.Gap*d.opt.Gap)
}

// checkedSpline makes the curve of the knots, weights and control points that
// were read.
func (d *dxf) checkedSpline(m *xform, degree int) (*bspline, bool) {
	n := len(d.control)
	bad := func(format string, args ...any) (*bspline, bool) {
		d.spoiled(problem.BadSpline, problem.Advise("draw it again, or save it as polylines"), format, args...)
		return nil, false
	}
	if degree < 1 || degree > maxDegree {
		return bad("a SPLINE of degree %d cannot be read, only degrees 1 to %d", degree, maxDegree)
	}
	if n <= degree {
		return bad("a SPLINE of degree %d needs at least %d control points and has %d", degree, degree+1, n)
	}
	if len(d.knots) != n+degree+1 {
		return bad("a SPLINE of degree %d with %d control points needs %d knots and has %d", degree, n, n+degree+1, len(d.knots))
	}
	if len(d.weights) != 0 && len(d.weights) != n {
		return bad("a SPLINE with %d control points has %d weights", n, len(d.weights))
	}
	span := d.knots[len(d.knots)-1] - d.knots[0]
	for i := 1; i < len(d.knots); i++ {
		if d.knots[i] < d.knots[i-1] {
			if d.knots[i-1]-d.knots[i] > 1e-9*math.Abs(span) {
				return bad("the knots of this SPLINE fall from %v to %v", d.knots[i-1], d.knots[i])
			}
			d.knots[i] = d.knots[i-1] // rounding by the writer
		}
	}
	if !(d.knots[degree] < d.knots[n]) || math.IsInf(span, 0) {
		return bad("the knots of this SPLINE, %v to %v, leave no curve", d.knots[degree], d.knots[n])
	}
	s := &bspline{degree: degree, knots: d.knots, control: d.curve[:0]}
	lowest, highest := math.Inf(1), 0.0
	for _, w := range d.weights {
		lowest, highest = min(lowest, w), max(highest, w)
	}
	if len(d.weights) > 0 && !(lowest > 0 && highest <= 1e9*lowest) {
		return bad("the weights of this SPLINE run from %v to %v: they must all be above 0", lowest, highest)
	}
	for i, c := range d.control {
		p := m.at(c.x, c.y, c.z)
		w := 1.0
		if len(d.weights) > 0 {
			w = d.weights[i] / highest
		}
		if !(math.Abs(p.X) <= 1e15 && math.Abs(p.Y) <= 1e15) {
			d.to(p)
			d.within("SPLINE", d.p.at, d.p.end)
			return nil, false
		}
		s.control = append(s.control, weighted{float64(p.X * w), float64(p.Y * w), w})
	}
	d.curve = s.control
	return s, true
}

// fitSpline adds a spline that is given by the points that it runs through.
func (d *dxf) fitSpline(layer int32, closed bool, tangents [2]xyz) {
	var points []XY
	for _, f := range d.fits {
		p := d.xf.at(f.x, f.y, f.z)
		if !(math.Abs(p.X) <= 1e15 && math.Abs(p.Y) <= 1e15) {
			d.to(p)
			d.within("SPLINE", d.p.at, d.p.end)
			return
		}
		if n := len(points); n == 0 || !same(points[n-1], p) {
			points = append(points, p)
		}
	}
	if n := len(points); closed && n > 1 && same(points[n-1], points[0]) {
		points = points[:n-1]
	}
	if len(points) < 2 {
		d.count("SPLINE", layer, "has no length", d.p.at, d.p.end)
		return
	}
	d.warnOnce(problem.FitPoints, "", d.p.at, d.p.end, problem.Advise("save splines with their control points to be sure of their shape"),
		"this SPLINE is given only by points that it runs through; between them it is read as a cubic spline over the length of its chords")
	var ends [2]*XY
	for i, t := range tangents {
		v := d.xf.along(t.x, t.y, t.z)
		if length := math.Sqrt(float64(v.X*v.X) + float64(v.Y*v.Y)); length > 1e-12 && !math.IsInf(length, 0) {
			ends[i] = &XY{X: v.X / length, Y: v.Y / length}
		}
	}
	d.to(points[0])
	var size float64
	for _, p := range points {
		size = max(size, math.Abs(p.X-points[0].X), math.Abs(p.Y-points[0].Y))
	}
	for _, b := range through(points, closed, ends[0], ends[1]) {
		d.cubic(b, d.tolerance(size))
	}
	d.add("SPLINE", layer, closed, contour.Unstated, d.p.at, d.p.end)
}
