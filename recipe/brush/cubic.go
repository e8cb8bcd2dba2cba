package brush

import "math"

// slopes are d width / d press at each mark. Inside, it is the weighted
// harmonic mean of the two stretches (Fritsch and Butland 1984, with the
// weights for unequal stretches), 0 next to a level one. At the ends it is the
// slope of the parabola through three marks, or 0 where that would bend the
// curve back. Each slope is at most three times that of its stretches,
// which makes the cubic monotone (Fritsch and Carlson 1980).
func slopes(marks []Mark) []float64 {
	n := len(marks)
	h, d := make([]float64, n-1), make([]float64, n-1)
	for i := range h {
		h[i] = marks[i+1].Press - marks[i].Press
		d[i] = (marks[i+1].Width - marks[i].Width) / h[i]
	}
	m := make([]float64, n)
	if n == 2 {
		m[0], m[1] = d[0], d[0]
		return m
	}
	for i := 1; i < n-1; i++ {
		if d[i-1] <= 0 || d[i] <= 0 {
			continue
		}
		w1, w2 := float64(2*h[i])+h[i-1], h[i]+float64(2*h[i-1])
		m[i] = (w1 + w2) / (w1/d[i-1] + w2/d[i])
	}
	m[0] = endSlope(h[0], h[1], d[0], d[1])
	m[n-1] = endSlope(h[n-2], h[n-3], d[n-2], d[n-3])
	return m
}

// endSlope is the slope at the end of a stretch h0 with slope d0, whose
// neighbour is h1 with d1.
func endSlope(h0, h1, d0, d1 float64) float64 {
	m := (float64((float64(2*h0)+h1)*d0) - float64(h0*d1)) / (h0 + h1)
	return max(0, m) // at most twice d0, as no slope is negative
}

// Reshaped is the curve through marks whose widths (mm) are changed by a function
// that rises with the width. Its doubt is that of the curve.
func (c *Curve) Reshaped(width func(float64) float64) *Curve {
	out := *c
	out.marks = append([]Mark(nil), c.marks...)
	for i := range out.marks {
		out.marks[i].Width = width(out.marks[i].Width)
	}
	out.slope = slopes(out.marks)
	return &out
}

// value is the cubic's width on the stretch from mark i, in Hermite's form.
// It never leaves the widths at the stretch's ends.
func (c *Curve) value(i int, press float64) float64 {
	a, b := c.marks[i], c.marks[i+1]
	h := b.Press - a.Press
	t := (press - a.Press) / h
	s := 1 - t
	// w0 + t²·((3-2t)·(w1-w0) - s·h·m1) + s²·t·h·m0: measured from w0, so that a
	// level stretch stays level to the last bit.
	rise := float64(float64(t*t) * (float64(float64(3-float64(2*t))*(b.Width-a.Width)) - float64(float64(s*h)*c.slope[i+1])))
	lead := float64(float64(s*s) * float64(float64(t*h)*c.slope[i]))
	return min(max(a.Width+(rise+lead), a.Width), b.Width)
}

// derivative is the cubic's slope on the stretch from mark i.
func (c *Curve) derivative(i int, press float64) float64 {
	a, b := c.marks[i], c.marks[i+1]
	h := b.Press - a.Press
	t := (press - a.Press) / h
	s := 1 - t
	chord := (b.Width - a.Width) / h
	m := float64(float64(float64(6*t)*s)*chord) +
		float64(float64(s*(1-float64(3*t)))*c.slope[i]) +
		float64(float64(t*(float64(3*t)-2))*c.slope[i+1])
	return math.Max(0, m)
}
