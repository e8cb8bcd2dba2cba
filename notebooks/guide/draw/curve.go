package main

import (
	"mahlstick/notebooks/brushwork"
	"math"
)

// apart is the way (mm) between the points of a line that is followed.
const apart = 0.2

// smooth gives points close together on a smooth line through the given ones:
// a cubic between each two, whose direction at a point is that of the parabola
// through it and its neighbours. A loop runs on from the last to the first.
func smooth(p []pt, loop bool) []pt {
	if len(p) == 2 {
		return straight(p[0], p[1])
	}
	n := len(p)
	at := func(i int) pt { return p[((i%n)+n)%n] }
	slope := func(i int) pt {
		if !loop && (i == 0 || i == n-1) {
			return pt{}
		}
		a, b := at(i).Minus(at(i-1)), at(i+1).Minus(at(i))
		h, k := a.Length(), b.Length()
		return a.Times(k / mul(h, h+k)).Plus(b.Times(h / mul(k, h+k)))
	}
	m := make([]pt, n)
	for i := range m {
		m[i] = slope(i)
	}
	if !loop {
		end := func(i, next int) pt {
			d := at(next).Minus(at(i))
			return d.Times(2 / d.Length()).Minus(m[next])
		}
		m[0] = end(0, 1)
		m[n-1] = end(n-1, n-2).Times(-1)
		d := at(n - 1).Minus(at(n - 2))
		m[n-1] = d.Times(2 / d.Length()).Minus(m[n-2])
	}
	var out []pt
	spans := n - 1
	if loop {
		spans = n
	}
	for i := range spans {
		a, b := at(i), at(i+1)
		h := b.Minus(a).Length()
		steps := int(math.Ceil(h / apart))
		for k := range steps {
			out = append(out, brushwork.Cubic(a, a.Plus(m[i].Times(h/3)), b.Minus(m[(i+1)%n].Times(h/3)), b, float64(k)/float64(steps)))
		}
	}
	if !loop {
		out = append(out, p[n-1])
	}
	return out
}

// straight gives points close together on the straight way from a to b.
func straight(a, b pt) []pt {
	n := int(math.Ceil(b.Minus(a).Length() / apart))
	out := make([]pt, n+1)
	for i := range out {
		out[i] = a.Toward(b, float64(i)/float64(n))
	}
	return out
}

// lengths gives the way (mm) from the start to each point.
func lengths(l []pt) []float64 {
	out := make([]float64, len(l))
	for i := 1; i < len(l); i++ {
		out[i] = out[i-1] + l[i].Minus(l[i-1]).Length()
	}
	return out
}
