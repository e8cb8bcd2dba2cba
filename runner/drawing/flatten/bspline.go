package flatten

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// weighted is a point of a rational curve in homogeneous coordinates: x and y
// are multiplied by the weight already.
type weighted struct{ x, y, w float64 }

func (p weighted) point() vector.XY { return vector.XY{X: p.x / p.w, Y: p.y / p.w} }

func mix(p, q weighted, s float64) weighted {
	t := 1 - s
	return weighted{
		float64(t*p.x) + float64(s*q.x),
		float64(t*p.y) + float64(s*q.y),
		float64(t*p.w) + float64(s*q.w),
	}
}

// maxDegree of a spline.
const maxDegree = 25

// bspline is a B-spline curve, rational or not. The caller has checked that
// there are degree+1 more knots than control points, that the knots do not
// fall, and that the weights are positive.
type bspline struct {
	degree  int
	knots   []float64
	control []weighted
}

// span gives the Bézier points of the curve between knot i and knot i+1, by
// evaluating its polar form at p copies of the two knots in turn.
//
// Source: C. de Boor, On calculating with B-splines, J. Approx. Theory 6
// (1972) 50-62; L. Ramshaw, Blossoms are polar forms, CAGD 6 (1989) 323-358.
func (s *bspline) span(i int, out []weighted) {
	var d [maxDegree + 1]weighted
	p := s.degree
	a, b := s.knots[i], s.knots[i+1]
	for j := 0; j <= p; j++ {
		copy(d[:p+1], s.control[i-p:i+1])
		for k := 1; k <= p; k++ {
			u := a
			if k > p-j {
				u = b
			}
			for m := p; m >= k; m-- {
				low, high := s.knots[i-p+m], s.knots[i+m-k+1]
				d[m] = mix(d[m-1], d[m], (u-low)/(high-low))
			}
		}
		out[j] = d[p]
	}
}

// cubicSpan is span for degree 3, with each polar value worked out once.
func (s *bspline) cubicSpan(i int, out []weighted) {
	k, c := s.knots[i-2:i+4], s.control[i-3:i+1]
	low, high := k[2], k[3]
	wide := k[4] - k[1]
	out[1] = mix(c[1], c[2], (low-k[1])/wide)
	out[2] = mix(c[1], c[2], (high-k[1])/wide)
	before := mix(c[0], c[1], (low-k[0])/(high-k[0]))
	after := mix(c[2], c[3], (high-low)/(k[5]-low))
	out[0] = mix(before, out[1], (low-k[1])/(high-k[1]))
	out[3] = mix(out[2], after, (high-low)/(k[4]-low))
}

// follow lays the whole curve down and answers false where it has a gap inside
// (a knot repeated more than degree times).
func (p *Pen) follow(s *bspline) bool {
	var bez [maxDegree + 1]weighted
	first := true
	tolerance := p.tolerance(spread(s.control))
	rational := slices.ContainsFunc(s.control, func(c weighted) bool { return c.w != 1 })
	for i := s.degree; i < len(s.control) && !p.Full; i++ {
		if !(s.knots[i] < s.knots[i+1]) {
			continue
		}
		b := bez[:s.degree+1]
		if s.degree == 3 {
			s.cubicSpan(i, b)
		} else {
			s.span(i, b)
		}
		start := b[0].point()
		if first {
			p.to(start)
			first = false
		} else if last := p.Points[len(p.Points)-1]; math.Abs(last.X-start.X) > 1e-4 || math.Abs(last.Y-start.Y) > 1e-4 {
			return false
		}
		if s.degree == 3 && !rational {
			p.cubic([4]vector.XY{start, {X: b[1].x, Y: b[1].y}, {X: b[2].x, Y: b[2].y}, {X: b[3].x, Y: b[3].y}}, tolerance)
		} else {
			p.bezier(b, tolerance, 0)
		}
		p.Full = p.Full || len(p.Points) > p.Room
	}
	return true
}

// cubic lays a cubic Bézier curve down without its first point, in
// equal steps of its parameter.
//
// The second derivative is at most 6 times the longer of the two second
// differences of the control points, and a chord over a step h lies within
// h²/8 of that from its arc (C. de Boor, A Practical Guide to Splines, 1978,
// chapter III).
func (p *Pen) cubic(b [4]vector.XY, tolerance float64) {
	d1 := vector.XY{X: b[0].X - 2*b[1].X + b[2].X, Y: b[0].Y - 2*b[1].Y + b[2].Y}
	d2 := vector.XY{X: b[1].X - 2*b[2].X + b[3].X, Y: b[1].Y - 2*b[2].Y + b[3].Y}
	bend := math.Sqrt(max(d1.Dot(d1), d2.Dot(d2)))
	if !(bend <= 1e12) { // far beyond reach, and perhaps not even a number
		p.Points = append(p.Points, b[1], b[2], b[3])
		return
	}
	steps := math.Ceil(math.Sqrt(0.75 * bend / tolerance))
	if steps > float64(p.Room) {
		p.Full = true
		return
	}
	n := int(max(steps, 1))
	// b0 + 3t(b1-b0) + 3t²(b0-2b1+b2) + t³(b3-3b2+3b1-b0)
	x1, y1 := float64(3*(b[1].X-b[0].X)), float64(3*(b[1].Y-b[0].Y))
	x2, y2 := float64(3*d1.X), float64(3*d1.Y)
	x3, y3 := d2.X-d1.X, d2.Y-d1.Y
	step := 1 / float64(n)
	for i := 1; i < n; i++ {
		t := float64(float64(i) * step)
		p.Points = append(p.Points, vector.XY{
			X: b[0].X + float64(t*(x1+float64(t*(x2+float64(t*x3))))),
			Y: b[0].Y + float64(t*(y1+float64(t*(y2+float64(t*y3))))),
		})
	}
	p.Points = append(p.Points, b[3])
}

// spread is the larger side of the box of some points.
func spread(points []weighted) float64 {
	box := vector.Empty()
	for _, w := range points {
		box.Add(w.point())
	}
	return max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
}

// maxHalvings bounds how often a Bézier curve is halved: 2^24 parts of a
// curve of 20 m are a thousandth of a micrometre long.
const maxHalvings = 24

// bezier lays a Bézier curve down without its first point. It halves
// the curve until all control points lie within the tolerance of the chord:
// the curve lies in their convex hull where the weights are positive.
func (p *Pen) bezier(b []weighted, tolerance float64, halvings int) {
	if halvings >= maxHalvings || flat(b, tolerance) || len(p.Points) > p.Room {
		p.to(b[len(b)-1].point())
		return
	}
	var left [maxDegree + 1]weighted
	l := left[:len(b)]
	for k := range b {
		l[k] = b[0]
		for j := 0; j < len(b)-1-k; j++ {
			u, v := &b[j], &b[j+1]
			b[j] = weighted{(u.x + v.x) / 2, (u.y + v.y) / 2, (u.w + v.w) / 2}
		}
	}
	p.bezier(l, tolerance, halvings+1)
	p.bezier(b, tolerance, halvings+1)
}

// flat says whether a Bézier curve lies within the tolerance of its chord.
//
// For a cubic without weights the distance of the curve is at most three
// quarters of that of its inner control points, for a quadratic a half: the
// Bernstein polynomials of the inner points add up to no more.
func flat(b []weighted, tolerance float64) bool {
	n := len(b) - 1
	if n == 1 {
		return true
	}
	rational := false
	for i := 1; i <= n; i++ {
		rational = rational || b[i].w != b[0].w
	}
	p, q := b[0].point(), b[n].point()
	dx, dy := q.X-p.X, q.Y-p.Y
	length2 := float64(dx*dx) + float64(dy*dy)
	limit := float64(tolerance * tolerance)
	wider := limit
	if !rational && n == 2 {
		wider = 4 * limit
	} else if !rational && n == 3 {
		wider = limit * (16.0 / 9)
	}
	for i := 1; i < n; i++ {
		c := b[i].point()
		ex, ey := c.X-p.X, c.Y-p.Y
		along := float64(ex*dx) + float64(ey*dy)
		if along >= 0 && along <= length2 && length2 > 0 {
			off := float64(ex*dy) - float64(ey*dx)
			if !(float64(off*off) <= float64(wider*length2)) {
				return false
			}
			continue
		}
		if along > 0 {
			ex, ey = c.X-q.X, c.Y-q.Y
		}
		if !(float64(ex*ex)+float64(ey*ey) <= limit) {
			return false
		}
	}
	return true
}
