package flatten

import "mahlstick/runner/vector"

// through gives the Bézier curves of the cubic spline through the points, as
// four points a curve: the curve with continuous curvature whose parameter is
// the length of the chords. Without tangents its ends are not bent; with them
// it starts and ends in their direction; a closed one goes on smoothly from
// its last point to its first. Consecutive points differ.
//
// Source: C. de Boor, A Practical Guide to Splines, 1978, chapter IV.
func through(points []vector.XY, closed bool, start, end *vector.XY) [][4]vector.XY {
	if closed {
		points = append(points[:len(points):len(points)], points[0])
	}
	n := len(points) - 1
	h := make([]float64, n)
	for i := range h {
		h[i] = vector.Distance(points[i], points[i+1])
	}
	get := func(axis func(vector.XY) float64, s, e *float64) []float64 {
		v := make([]float64, len(points))
		for i, p := range points {
			v[i] = axis(p)
		}
		if closed && n > 2 {
			return slopesClosed(h, v)
		}
		return slopes(h, v, s, e)
	}
	var sx, sy, ex, ey *float64
	if start != nil {
		sx, sy = &start.X, &start.Y
	}
	if end != nil {
		ex, ey = &end.X, &end.Y
	}
	mx := get(func(p vector.XY) float64 { return p.X }, sx, ex)
	my := get(func(p vector.XY) float64 { return p.Y }, sy, ey)
	out := make([][4]vector.XY, n)
	for i := range out {
		p, q, t := points[i], points[i+1], h[i]/3
		out[i] = [4]vector.XY{
			p,
			{X: p.X + float64(mx[i]*t), Y: p.Y + float64(my[i]*t)},
			{X: q.X - float64(mx[i+1]*t), Y: q.Y - float64(my[i+1]*t)},
			q,
		}
	}
	return out
}

// slopes solves for the slopes at the points of a spline with steps h and
// values v. An end without a slope has no second derivative.
func slopes(h, v []float64, start, end *float64) []float64 {
	n := len(h)
	diag, upper, lower, right := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	if start != nil {
		diag[0], right[0] = 1, *start
	} else {
		diag[0], upper[0], right[0] = 2, 1, 3*(v[1]-v[0])/h[0]
	}
	for i := 1; i < n; i++ {
		lower[i], diag[i], upper[i] = h[i], 2*(h[i-1]+h[i]), h[i-1]
		right[i] = inner(h[i-1], h[i], v[i-1], v[i], v[i+1])
	}
	if end != nil {
		diag[n], right[n] = 1, *end
	} else {
		lower[n], diag[n], right[n] = 1, 2, 3*(v[n]-v[n-1])/h[n-1]
	}
	return tridiagonal(lower, diag, upper, right)
}

// inner is the right side of the condition that the curvature goes on at a
// point between steps g and h.
func inner(g, h, before, here, after float64) float64 {
	return float64(3 * (float64(h*((here-before)/g)) + float64(g*((after-here)/h))))
}

// tridiagonal solves a tridiagonal system with a heavy diagonal. It writes
// over diag and right.
func tridiagonal(lower, diag, upper, right []float64) []float64 {
	n := len(diag)
	for i := 1; i < n; i++ {
		f := lower[i] / diag[i-1]
		diag[i] -= float64(f * upper[i-1])
		right[i] -= float64(f * right[i-1])
	}
	right[n-1] /= diag[n-1]
	for i := n - 2; i >= 0; i-- {
		right[i] = (right[i] - float64(upper[i]*right[i+1])) / diag[i]
	}
	return right
}

// slopesClosed is slopes of a closed spline, whose last value repeats the
// first. The two corner entries of its matrix are taken out as a change of
// rank one (Sherman, Morrison, Ann. Math. Stat. 21 (1950) 124).
func slopesClosed(h, v []float64) []float64 {
	n := len(h)
	diag, upper, lower, right := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range diag {
		g, before := h[(i+n-1)%n], v[(i+n-1)%n]
		lower[i], diag[i], upper[i] = h[i], 2*(g+h[i]), g
		right[i] = inner(g, h[i], before, v[i], v[i+1])
	}
	corner1, corner2 := lower[0], upper[n-1] // next to the last and the first column
	gamma := -diag[0]
	diag[0] -= gamma
	diag[n-1] -= float64(corner1*corner2) / gamma
	u := make([]float64, n)
	u[0], u[n-1] = gamma, corner2
	diag2 := append([]float64(nil), diag...)
	x := tridiagonal(lower, diag, upper, right)
	z := tridiagonal(lower, diag2, upper, u)
	q := corner1 / gamma
	f := (x[0] + float64(q*x[n-1])) / (1 + z[0] + float64(q*z[n-1]))
	m := make([]float64, n+1)
	for i := range x {
		m[i] = x[i] - float64(f*z[i])
	}
	m[n] = m[0]
	return m
}
