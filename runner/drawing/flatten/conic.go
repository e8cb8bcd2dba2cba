package flatten

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// conic is an ellipse in mm: centre + cos t · u + sin t · v. A circle seen
// from any side and under any affine map is one.
type conic struct{ centre, u, v vector.XY }

func (c *conic) at(t float64) vector.XY {
	sin, cos := arith.SinCos(t)
	return vector.XY{
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

// mostChords bounds the chords of one curve.
const mostChords = 1 << 30

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
	if !(n <= mostChords) {
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

// steps gives the number of chords of a sweep and their swelling.
func (p *Pen) steps(c *conic, sweep float64) (n int, out float64) {
	axis := c.longAxis()
	if !(axis <= 1e16) { // far beyond reach, and perhaps not even a number
		p.to(c.centre)
		p.to(vector.XY{X: c.centre.X + axis, Y: c.centre.Y})
		return 0, 1
	}
	n = chords(sweep, axis, p.tolerance(axis))
	if n < 0 || len(p.Points)+n > p.Room {
		p.Full = true
		return 0, 1
	}
	return n, swell(sweep / float64(n))
}

// sweep lays down the points of the conic after t0 up to before t0+sweep. The
// caller adds the ends, which lie on the curve so that they meet others.
func (p *Pen) sweep(c *conic, t0, sweep float64) {
	n, out := p.steps(c, sweep)
	p.stepAlong(c, t0, sweep, 1, n, out)
}

// round lays down a whole turn of the conic.
func (p *Pen) round(c *conic, t0 float64) {
	n, out := p.steps(c, 2*arith.Pi)
	p.stepAlong(c, t0, 2*arith.Pi, 0, n, out)
}

// renew is how many steps are taken by turning the last point on before sine
// and cosine are worked out anew: rounding adds up to less than 1e-14 of the
// radius over so many.
const renew = 32

// stepAlong lays down the points from step first up to before step n of n equal
// steps of a sweep.
func (p *Pen) stepAlong(c *conic, t0, sweep float64, first, n int, out float64) {
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
		p.Points = append(p.Points, vector.XY{
			X: c.centre.X + float64(cos*c.u.X) + float64(sin*c.v.X),
			Y: c.centre.Y + float64(cos*c.u.Y) + float64(sin*c.v.Y),
		})
		sin, cos = float64(sin*cosStep)+float64(cos*sinStep), float64(cos*cosStep)-float64(sin*sinStep)
	}
}

// Arc is part of an ellipse: centre + cos t · U + sin t · V, from t = Start on
// over Sweep (rad). Where Ends is set its ends are From and To, as the drawing
// states them or as they follow more exactly.
type Arc struct {
	Centre, U, V vector.XYZ
	Start, Sweep float64
	Ends         bool
	From, To     vector.XYZ
}

func mapped(m *affine.Map, centre, u, v vector.XYZ) conic {
	return conic{m.At(centre), m.Along(u), m.Along(v)}
}

// Flatten lays the arc down.
func (a *Arc) Flatten(m *affine.Map, p *Pen) bool {
	c := mapped(m, a.Centre, a.U, a.V)
	if a.Ends {
		p.to(m.At(a.From))
		p.sweep(&c, a.Start, a.Sweep)
		p.to(m.At(a.To))
		return true
	}
	p.to(c.at(a.Start))
	p.sweep(&c, a.Start, a.Sweep)
	p.to(c.at(a.Start + a.Sweep))
	return true
}

// Copy gives an arc of its own.
func (a *Arc) Copy() Curve {
	c := *a
	return &c
}

// Ellipse is a whole ellipse, from t = Start (rad) on. Where Again is set its
// first point is laid down once more at its end.
type Ellipse struct {
	Centre, U, V vector.XYZ
	Start        float64
	Again        bool
}

// Flatten lays the ellipse down.
func (e *Ellipse) Flatten(m *affine.Map, p *Pen) bool {
	c := mapped(m, e.Centre, e.U, e.V)
	first := len(p.Points)
	p.round(&c, e.Start)
	if e.Again && len(p.Points) > first {
		p.to(p.Points[first])
	}
	return true
}

// Copy gives an ellipse of its own.
func (e *Ellipse) Copy() Curve {
	c := *e
	return &c
}

// Parts is 5.
func (a *Arc) Parts() int { return 5 }

// Parts is 3.
func (e *Ellipse) Parts() int { return 3 }
