package main

import "mahlstick/recipe/arith"

// sun paints the disc as crescents swept round one centre, each shorter than
// the one outside it, open where the bird's head stands.
func (p *picture) sun(bird []pt) {
	c := pt{70, 224}
	for i, a := range []struct{ r, from, to, w float64 }{
		{31.6, -26, 316, 4.15},
		{27, 16, 296, 4.15},
		{22.5, 24, 272, 4.1},
		{18.1, 36, 262, 4},
		{13.9, 52, 236, 3.7},
		{10, 74, 214, 3},
	} {
		var line []pt
		const n = 9
		for k := range n {
			sin, cos := arith.SinCosDegrees(lerp(a.from, a.to, float64(k)/(n-1)))
			r := a.r + mul(0.25, hand(22, 31*i+k))
			line = append(line, c.plus(pt{mul(r, cos), mul(r, sin)}))
		}
		s := p.stroke(straw, "sun", profile{0, 0.5, 0.14, mul(a.w, 0.6), 0.42, a.w, 0.66, mul(a.w, 0.9), 0.86, mul(a.w, 0.5), 1, 0.5}, line)
		p.put(lifted(s, bird, 3, 7, 11)...)
	}
}
