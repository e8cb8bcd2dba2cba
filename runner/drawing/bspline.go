package drawing

import "math"

// weighted is a point of a rational curve in homogeneous coordinates: x and y
// are multiplied by the weight already.
type weighted struct{ x, y, w float64 }

func (p weighted) point() XY { return XY{p.x / p.w, p.y / p.w} }

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

// at evaluates the curve at u.
func (s *bspline) at(u float64) XY {
	p, n := s.degree, len(s.control)
	i := p
	for i < n-1 && s.knots[i+1] <= u {
		i++
	}
	var d [maxDegree + 1]weighted
	copy(d[:p+1], s.control[i-p:i+1])
	for k := 1; k <= p; k++ {
		for m := p; m >= k; m-- {
			low, high := s.knots[i-p+m], s.knots[i+m-k+1]
			d[m] = mix(d[m-1], d[m], (u-low)/(high-low))
		}
	}
	return d[p].point()
}

// follow adds the whole curve to the path and answers false where it breaks
// off inside (a knot repeated more than degree times).
func (r *reading) follow(s *bspline, at, end int) bool {
	var bez [maxDegree + 1]weighted
	p := s.degree
	first := true
	tolerance := r.tolerance(spread(s.control))
	for i := p; i < len(s.control) && !r.stopped; i++ {
		if !(s.knots[i] < s.knots[i+1]) {
			continue
		}
		b := bez[:p+1]
		s.span(i, b)
		start := b[0].point()
		if first {
			r.to(start)
			first = false
		} else if last := r.path[len(r.path)-1]; math.Abs(last.X-start.X) > 1e-4 || math.Abs(last.Y-start.Y) > 1e-4 {
			return false
		}
		r.bezier(b, tolerance, 0)
		if r.points+len(r.path) > maxPoints {
			r.points = maxPoints + 1
			r.overBudget(at, end)
		}
	}
	return true
}

// spread is the larger side of the box of some points.
func spread(points []weighted) float64 {
	inf := math.Inf(1)
	lo, hi := XY{inf, inf}, XY{-inf, -inf}
	for _, w := range points {
		p := w.point()
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	return max(hi.X-lo.X, hi.Y-lo.Y)
}

// maxHalvings bounds how often a Bézier curve is halved: 2^24 pieces of a
// curve of 20 m are a thousandth of a micrometre long.
const maxHalvings = 24

// bezier adds a Bézier curve to the path without its first point. It halves
// the curve until all control points lie within the tolerance of the chord:
// the curve lies in their convex hull where the weights are positive.
func (r *reading) bezier(b []weighted, tolerance float64, halvings int) {
	if halvings >= maxHalvings || flat(b, tolerance) || len(r.path) > maxPoints {
		r.to(b[len(b)-1].point())
		return
	}
	var left [maxDegree + 1]weighted
	l := left[:len(b)]
	for k := range b {
		l[k] = b[0]
		for j := 0; j < len(b)-1-k; j++ {
			p, q := &b[j], &b[j+1]
			b[j] = weighted{(p.x + q.x) / 2, (p.y + q.y) / 2, (p.w + q.w) / 2}
		}
	}
	r.bezier(l, tolerance, halvings+1)
	r.bezier(b, tolerance, halvings+1)
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
