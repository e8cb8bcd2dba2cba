package axis

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
)

// chordError bounds, in grid steps, how far a curved stretch may be from the chords
// that it is cut into, in the plane and in radius. With thinError and
// rounding to the grid it stays below the 0.001 mm that package axis guarantees.
const chordError = 3.0

// A curve is a stretch between a corner and an edge, or between two corners,
// in a frame with its origin at a corner p of the outline. At f along the
// frame's direction u the radius is
//
//	f²/2c + c/2    and the centre lies r-c to the left of u: a parabola with focus p, c from its directrix;
//	sqrt(f² + c²)  and the centre lies c to the right of u: the line midway between p and another corner, 2c from it.
type curve struct {
	x, y, ux, uy, c float64
	parabola        bool
}

func (o *sites) curve(p, q int32) (curve, bool) {
	if p&q&1 == 1 {
		return curve{}, false // between two edges axis and radius are straight
	}
	if p&1 == 1 {
		p, q = q, p
	}
	at := o.pts[p>>1]
	c := curve{x: float64(at.X), y: float64(at.Y), parabola: q&1 == 1}
	if c.parabola {
		l := &o.lines[q>>1]
		ex, ey := o.between(q>>1, p>>1)
		lx, ly := o.along(q >> 1)
		c.ux, c.uy = l.ux, l.uy
		c.c = float64(cross(lx, ly, ex, ey)) / l.len
	} else {
		ex, ey := o.between(p>>1, q>>1)
		l := math.Sqrt(float64(dot(ex, ey, ex, ey)))
		c.ux, c.uy, c.c = -float64(ey)/l, float64(ex)/l, l/2
	}
	return c, c.c > 0
}

// discAt is the disc at parameter f of the curve.
func (c *curve) discAt(f float64) disc {
	side := c.c
	r := math.Sqrt(float64(f*f) + float64(c.c*c.c))
	if c.parabola {
		r = float64(f*f)/(2*c.c) + c.c/2
		side = c.c - r
	}
	return disc{x: c.x + float64(f*c.ux) + float64(side*c.uy), y: c.y + float64(f*c.uy) - float64(side*c.ux), r: r}
}

// least is the smallest radius on the curve, in its middle.
func (c *curve) least() float64 {
	if c.parabola {
		return c.c / 2
	}
	return c.c
}

// at is the parameter at which the radius is r, on one side of the middle.
func (c *curve) at(r float64, before bool) float64 {
	f2 := float64(r*r) - float64(c.c*c.c)
	if c.parabola {
		f2 = float64(c.c * (2*r - c.c))
	}
	f := math.Sqrt(max(f2, 0))
	if before {
		return -f
	}
	return f
}

// along is the parameter of a disc on the curve.
func (c *curve) along(q *disc) float64 {
	return float64((q.x-c.x)*c.ux) + float64((q.y-c.y)*c.uy)
}

// step is how far from f, away from the middle of the curve, a chord may reach. Its
// error is at most step²/8 times the second derivative of the radius, which is
// largest at f. For a steep chord of a parabola the error is smaller, by the cosine
// of its slope.
func (c *curve) step(f float64) float64 {
	s := math.Sqrt(1 + float64(f*f)/float64(c.c*c.c))
	if c.parabola {
		return math.Sqrt(8 * chordError * float64(c.c*s))
	}
	return math.Sqrt(8*chordError*float64(c.c*s)) * s
}

// slope is the change of the radius along the axis, where side h of a cell leaves the
// cell's disc. It is rounded, so that it does not depend on which sites it is
// computed from.
func (d *diagram) slope(h int32) float64 {
	const agreed = 1 << 30
	return math.Round(d.rise(h)*agreed) / agreed
}

func (d *diagram) rise(h int32) float64 {
	k := h & 3
	cell := &d.cells[h>>2]
	p, q := cell.v[k], cell.v[after3[k]]
	a, b := &d.discs[h>>2], &d.discs[cell.link[k]>>2]
	if p&q&1 == 1 {
		// Between two edges it is the sine of half their angle.
		l, m := &d.sites.lines[p>>1], &d.sites.lines[q>>1]
		sin := math.Sqrt(max(0, 1+float64(l.ux*m.ux)+float64(l.uy*m.uy)) / 2)
		return math.Copysign(sin, b.r-a.r)
	}
	c, bent := d.sites.curve(p, q)
	if !bent {
		return 0
	}
	f := c.along(a)
	slope := f / math.Sqrt(float64(f*f)+float64(c.c*c.c))
	if float64((b.x-a.x)*c.ux)+float64((b.y-a.y)*c.uy) < 0 {
		return -slope
	}
	return slope
}

// addCurvePoints adds the inner points of the stretch at side h of a cell to the
// tracer's points. They are chosen from the middle of the curve outwards, so that
// they do not depend on the direction in which the stretch is followed.
func (tr *tracer) addCurvePoints(d *diagram, h int32, origin plane.Point) {
	k := h & 3
	cell := &d.cells[h>>2]
	c, bent := d.sites.curve(cell.v[k], cell.v[after3[k]])
	if !bent {
		return
	}
	a, b := &d.discs[h>>2], &d.discs[cell.link[k]>>2]
	fa, fb := c.along(a), c.along(b)
	first := len(tr.pts)
	low, high := min(fa, fb), max(fa, fb)
	if low < 0 && high > 0 {
		if c.step(0) < high-low {
			middle := c.discAt(0)
			tr.pts = append(tr.pts, onGrid(&middle, origin))
		}
		tr.outwards(&c, 0, low, origin)
		slices.Reverse(tr.pts[first:])
		tr.outwards(&c, 0, high, origin)
	} else if low >= 0 {
		tr.outwards(&c, low, high, origin)
	} else {
		tr.outwards(&c, high, low, origin)
		slices.Reverse(tr.pts[first:])
	}
	if fa > fb {
		slices.Reverse(tr.pts[first:])
	}
}

// outwards adds the points between f and end, without the two, away from the middle of
// the curve.
func (tr *tracer) outwards(c *curve, f, end float64, origin plane.Point) {
	for {
		if end > f {
			f += c.step(f)
			if f >= end {
				return
			}
		} else {
			f -= c.step(f)
			if f <= end {
				return
			}
		}
		q := c.discAt(f)
		tr.pts = append(tr.pts, onGrid(&q, origin))
	}
}
