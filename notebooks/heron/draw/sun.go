package main

import (
	"mahlstick/recipe/arith"
	"mahlstick/runner/vector"
)

// sun paints the light as rings round one centre, the paler the nearer: each
// begins and ends at the bird, which stands before it, and the outer ones run
// on behind the tip of its bill. The disc itself is left to the paper.
func sun(p *picture, bird []pt) {
	c := xy(70, 224)
	for i, a := range []struct{ r, w float64 }{{31.5, 4.1}, {26.2, 3.3}, {21.7, 2.5}, {17.9, 1.7}} {
		var line []pt
		const n = 25
		for k := range n {
			sin, cos := arith.SinCosDegrees(vector.Lerp(-4, 356, float64(k)/(n-1)))
			line = append(line, c.Plus(p.move).Plus(xy(mul(a.r, cos), mul(a.r, sin))))
		}
		p.count++
		heavy := 0.36 + mul(0.09, float64(i))
		s := p.along(straw, "sun", profile{0, mul(a.w, 0.55), mul(heavy, 0.5), mul(a.w, 0.86), heavy, a.w, vector.Lerp(heavy, 1, 0.5), mul(a.w, 0.84), 1, mul(a.w, 0.5)}, line)
		p.put(lifted(s, bird, 3, 9, 8)...)
	}
}
