package drawing

import (
	"math"

	"mahlstick/recipe/arith"
)

// conic is an ellipse in mm: centre + cos t · u + sin t · v. A circle seen
// from any side and under any affine map is one.
type conic struct{ centre, u, v XY }

func (c *conic) at(t float64) XY {
	sin, cos := arith.SinCos(t)
	return XY{
		X: c.centre.X + float64(cos*c.u.X) + float64(sin*c.v.X),
		Y: c.centre.Y + float64(cos*c.u.Y) + float64(sin*c.v.Y),
	}
}

// longAxis is the larger half axis.
func (c *conic) longAxis() float64 {
	uu, vv, uv := c.u.Dot(c.u), c.v.Dot(c.v), c.u.Dot(c.v)
	if uv == 0 && uu == vv { // a circle
		return math.Sqrt(uu)
	}
	d := uu - vv
	return math.Sqrt((uu + vv + math.Sqrt(float64(d*d)+4*float64(uv*uv))) / 2)
}

// chords is the number of equal steps of t over a sweep (rad) that keeps
// every chord within the tolerance of the curve, or -1 where they are too
// many.
//
// A chord of the unit circle over an angle d lies 1-cos(d/2) from its arc
// (the sagitta), and an affine map stretches that by no more than the larger
// half axis.
func chords(sweep, axis, tolerance float64) int {
	s := tolerance / axis
	n := 1.0
	if s < 2 {
		// d = 2 arccos(1-s) = 4 arcsin √(s/2), without the loss of digits.
		n = math.Ceil(math.Abs(sweep)/float64(4*arcSine(math.Sqrt(s/2))) - 1e-9)
	}
	n = max(n, 1, math.Ceil(math.Abs(sweep)/(arith.Pi/2)-1e-9)) // never a whole half turn in one chord
	if !(n <= maxPoints) {
		return -1
	}
	return int(n)
}

// arcSine is the arc sine, for small angles by the start of its series, which
// is good to 1e-12 there.
func arcSine(x float64) float64 {
	if x < 0.1 {
		z := float64(x * x)
		return float64(x * (1 + float64(z*(1.0/6+float64(z*(3.0/40+float64(z*(15.0/336+float64(z*(105.0/3456))))))))))
	}
	return arith.Asin(x)
}

// tolerance is how far (mm) a chord may lie from a curve of about this size.
func (r *reading) tolerance(size float64) float64 {
	if r.sizing {
		return max(r.opt.Tolerance, size/1000)
	}
	return r.opt.Tolerance
}

// swell is the factor by which the corners of a chain of chords over steps of
// d lie outside the curve, so that the chain encloses as much as the curve
// does: a chord over d cuts d - sin d off twice the sector of the unit circle.
// They lie outside by two thirds of what the middles of the chords would have
// lain inside.
func swell(d float64) float64 {
	d = math.Abs(d)
	if d < 0.3 {
		// The series of √(d/sin d); what it leaves out is below 1e-9.
		z := float64(d * d)
		return 1 + float64(z*(1.0/12+float64(z*(1.0/160+float64(z*(61.0/120960))))))
	}
	return math.Sqrt(d / arith.Sin(d))
}

// steps gives the number of chords of a sweep and their swelling, or reports
// that they are too many.
func (r *reading) steps(c *conic, sweep float64, at, end int) (n int, out float64) {
	axis := c.longAxis()
	if !(axis <= 1e16) { // far beyond reach, and perhaps not even a number
		r.to(c.centre)
		r.to(XY{X: c.centre.X + axis, Y: c.centre.Y})
		return 0, 1
	}
	n = chords(sweep, axis, r.tolerance(axis))
	if n < 0 || r.points+len(r.path)+n > maxPoints {
		r.points = maxPoints + 1
		r.overBudget(at, end)
		return 0, 1
	}
	return n, swell(sweep / float64(n))
}

// sweep adds the points of the conic after t0 up to before t0+sweep. The
// caller adds the ends, which lie on the curve so that they meet others.
func (r *reading) sweep(c *conic, t0, sweep float64, at, end int) {
	n, out := r.steps(c, sweep, at, end)
	r.stepAlong(c, t0, sweep, 1, n, out)
}

// round adds a whole turn of the conic.
func (r *reading) round(c *conic, t0 float64, at, end int) {
	n, out := r.steps(c, 2*arith.Pi, at, end)
	r.stepAlong(c, t0, 2*arith.Pi, 0, n, out)
}

// renew is how many steps are taken by turning the last point on before sine
// and cosine are worked out anew: rounding adds up to less than 1e-14 of the
// radius over so many.
const renew = 32

// stepAlong adds the points from step first up to before step n of n equal
// steps of a sweep.
func (r *reading) stepAlong(c *conic, t0, sweep float64, first, n int, out float64) {
	if n <= first {
		return
	}
	sinStep, cosStep := arith.SinCos(sweep / float64(n))
	var sin, cos float64
	for i := first; i < n; i++ {
		if (i-first)%renew == 0 {
			sin, cos = arith.SinCos(t0 + float64(sweep*(float64(i)/float64(n))))
			sin, cos = float64(sin*out), float64(cos*out)
		}
		r.path = append(r.path, XY{
			X: c.centre.X + float64(cos*c.u.X) + float64(sin*c.v.X),
			Y: c.centre.Y + float64(cos*c.u.Y) + float64(sin*c.v.Y),
		})
		sin, cos = float64(sin*cosStep)+float64(cos*sinStep), float64(cos*cosStep)-float64(sin*sinStep)
	}
}

// bulge adds the points between the ends of a polyline's arc.
//
// Source: DXF Reference, LWPOLYLINE: "The bulge is the tangent of one fourth
// the included angle for an arc segment, made negative if the arc goes
// clockwise from the start point to the end point."
func (r *reading) bulge(m *xform, p, q xyz, b float64, at, end int) {
	c, sweep := bulgeConic(m, p, q, b)
	r.sweep(&c, 0, sweep, at, end)
}

// bulgeConic gives the arc of a bulge: it begins at t = 0 and ends at sweep.
func bulgeConic(m *xform, p, q xyz, b float64) (c conic, sweep float64) {
	dx, dy := q.x-p.x, q.y-p.y
	// From the middle of the chord the centre lies this share of the chord
	// to its left.
	k := (1 - float64(b*b)) / (4 * b)
	cx := p.x + float64(0.5*dx) - float64(k*dy)
	cy := p.y + float64(0.5*dy) + float64(k*dx)
	ux, uy := p.x-cx, p.y-cy
	return conic{m.at(cx, cy, p.z), m.along(ux, uy, 0), m.along(-uy, ux, 0)}, float64(4 * arith.Atan(b))
}
