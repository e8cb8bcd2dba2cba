package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
	"sort"
)

// curve is a smooth line through given points, measured along its length.
// Between the points it is a natural cubic spline over the chord lengths.
type curve struct {
	p, m   []pt      // the points and the second derivatives there
	u      []float64 // the parameter at the points
	at, by []float64 // parameter and length from the start, in small steps
}

const stepsBetween = 24

func through(p []pt) *curve {
	n := len(p)
	c := &curve{p: p, m: make([]pt, n), u: make([]float64, n)}
	for i := 1; i < n; i++ {
		c.u[i] = c.u[i-1] + p[i].Minus(p[i-1]).Length()
	}
	// The usual tridiagonal system of the natural spline, swept once down and
	// once up.
	share := make([]float64, n)
	rest := make([]pt, n)
	for i := 1; i < n-1; i++ {
		h, k := c.u[i]-c.u[i-1], c.u[i+1]-c.u[i]
		d := p[i+1].Minus(p[i]).Times(1 / k).Minus(p[i].Minus(p[i-1]).Times(1 / h)).Times(6)
		b := mul(2, h+k) - mul(h, share[i-1])
		share[i] = k / b
		rest[i] = d.Minus(rest[i-1].Times(h)).Times(1 / b)
	}
	for i := n - 2; i > 0; i-- {
		c.m[i] = rest[i].Minus(c.m[i+1].Times(share[i]))
	}
	c.at, c.by = []float64{0}, []float64{0}
	last := p[0]
	for i := 1; i < n; i++ {
		for k := 1; k <= stepsBetween; k++ {
			u := vector.Lerp(c.u[i-1], c.u[i], float64(k)/stepsBetween)
			q := c.point(u)
			c.at = append(c.at, u)
			c.by = append(c.by, c.by[len(c.by)-1]+q.Minus(last).Length())
			last = q
		}
	}
	return c
}

func (c *curve) length() float64 { return c.by[len(c.by)-1] }

// span finds the piece that u lies in and how far into it (mm of chord).
func (c *curve) span(u float64) (i int, a, b, h float64) {
	i = sort.SearchFloat64s(c.u, u) - 1
	i = max(0, min(i, len(c.u)-2))
	h = c.u[i+1] - c.u[i]
	return i, c.u[i+1] - u, u - c.u[i], h
}

func (c *curve) point(u float64) pt {
	i, a, b, h := c.span(u)
	cubic := func(v float64) float64 { return (mul(mul(v, v), v)/h - mul(h, v)) / 6 }
	return c.p[i].Times(a / h).Plus(c.p[i+1].Times(b / h)).
		Plus(c.m[i].Times(cubic(a))).Plus(c.m[i+1].Times(cubic(b)))
}

func (c *curve) direction(u float64) pt {
	i, a, b, h := c.span(u)
	slope := func(v float64) float64 { return mul(v, v)/mul(2, h) - h/6 }
	return brushwork.Unit(c.p[i+1].Minus(c.p[i]).Times(1 / h).
		Minus(c.m[i].Times(slope(a))).Plus(c.m[i+1].Times(slope(b))))
}

// parameter at a length from the start.
func (c *curve) parameter(s float64) float64 {
	i := sort.SearchFloat64s(c.by, s)
	i = max(1, min(i, len(c.by)-1))
	k := (s - c.by[i-1]) / (c.by[i] - c.by[i-1])
	return vector.Lerp(c.at[i-1], c.at[i], k)
}

// locate gives the point and the direction at a length (mm) from the start.
func (c *curve) locate(s float64) (p, along pt) {
	u := c.parameter(brushwork.Clamp(s, 0, c.length()))
	return c.point(u), c.direction(u)
}
