package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/recipe/arith"
	"mahlstick/runner/vector"
)

// ring paints a closed ripple round c: two contours, the inner one a hole.
func (p *picture) ring(ink, subject string, c pt, rx, ry, thin, thick float64, depth int) {
	const n = 12
	edge := func(turn, side float64) pt {
		s, k := arith.SinCosDegrees(turn)
		on := c.Plus(p.move).Plus(xy(mul(rx, k), mul(ry, s)))
		out := brushwork.Unit(xy(mul(ry, k), mul(rx, s)))
		// Heavier towards the painter, lighter at the far side.
		heavy, _ := arith.SinCosDegrees(turn + 22)
		k2 := (1 - heavy) / 2
		w := vector.Lerp(thin, thick, mul(k2, k2))
		return on.Plus(out.Times(mul(side, w/2)))
	}
	for i, side := range []float64{1, -1} {
		o := outline{subject: subject, depth: depth + i}
		for k := range n {
			// The hole runs the other way round.
			turn := mul(side, mul(360.0/n, float64(k)))
			j := joint{p: edge(turn, side), middle: edge(turn+mul(side, 180.0/n), side)}
			j.along = brushwork.Unit(edge(turn+side/2, side).Minus(edge(turn-side/2, side)))
			last := j.p
			for q := 1; q <= 8; q++ {
				e := edge(turn+mul(side, mul(360.0/n/8, float64(q))), side)
				j.span += e.Minus(last).Length()
				last = e
			}
			o.joints = append(o.joints, j)
		}
		p.add(ink, o)
	}
}

// ripple is a stroke lying on the water, pressed at one end and drawn out to
// the other, long mm wide.
func (p *picture) ripple(ink string, x, y, long, w float64) {
	n := p.count
	peak := 0.34 + mul(0.1, brushwork.Hand(50, n))
	sag := mul(long, 0.012+mul(0.008, brushwork.Hand(51, n)))
	half := long / 2
	if brushwork.Hand(52, n) < 0 {
		half = -half
	}
	s := p.stroke(ink, "water", profile{0, mul(0.2, w), mul(peak, 0.3), mul(w, 0.62), mul(peak, 0.7), mul(w, 0.93), peak, w, vector.Lerp(peak, 1, 0.4), mul(w, 0.66), 1, 0.3},
		brushwork.Points(x-half, y+mul(0.4, sag), x-half/3, y-sag, x+half/3, y-mul(0.7, sag), x+half, y+sag))
	if ink == slate {
		s.as = asPolyline
	}
	p.put(s)
}

// water paints the lake before the bird steps into it.
func water(p *picture) {
	// Ripples widen towards the painter: a line of dashes each.
	for _, r := range []struct{ y, from, to, w float64 }{
		{63.5, 98, 114, 0.7}, {57, 86, 110, 1}, {51.5, 104, 144, 1.5}, {47.6, 92, 118, 1.5}, {46.4, 126, 160, 1.9}, {42.4, 104, 142, 2.2},
		{38.6, 88, 112, 1.6}, {37.4, 122, 156, 2.3}, {33, 100, 146, 2.3}, {28, 84, 112, 1.8}, {27, 126, 158, 2.2},
		{37, 160, 182, 2}, {31.6, 172, 193, 2}, {26.4, 164, 184, 1.8}, {29.6, 30, 58, 2.2}, {25.4, 26, 44, 1.6},
		// across the feet of the reeds
		{48.6, 144, 167, 2.2}, {45.8, 155, 185, 2.35}, {47, 177, 197, 2.3}, {34.4, 22, 40, 2.2}, {33, 30, 47, 2},
		{92, 30, 62, 0.7}, {86.5, 22, 44, 0.8}, {84, 84, 104, 0.6}, {76, 88, 108, 0.7}, {72.4, 90, 110, 0.8}, {68, 138, 148, 0.7}, {48, 46, 60, 1.2}, {41, 44, 58, 1.4}, {36, 54, 64, 1.3},
		{24, 92, 122, 1.5},
	} {
		p.ripple(slate, (r.from+r.to)/2, r.y, r.to-r.from, r.w)
	}
	for _, r := range [][4]float64{{171, 41.4, 18, 1.4}, {181, 34.6, 13, 1.4}, {36, 30.8, 13, 1.2}} {
		p.ripple(indigo, r[0], r[1], r[2], r[3])
	}
	// The reeds again, upside down and broken.
	for _, r := range [][4]float64{{153, 45.4, 7, 1.6}, {160, 42.6, 9, 2.2}, {172, 43.4, 12, 2.6}, {184, 43.2, 11, 2.4}, {190.6, 44.4, 6, 1.6}, {166, 39, 11, 2.4}, {178.6, 39, 13, 2.6}, {188, 40, 7, 1.8}, {154, 40.6, 6, 1.2}, {172.6, 34.4, 10, 2}, {184.6, 36, 7, 1.6}, {177, 29.4, 8, 1.4}, {168, 30, 5, 1}, {33, 31, 9, 1.8}, {38, 28, 7, 1.6}, {31, 27, 6, 1.4}, {35, 23.6, 5, 1.1}} {
		p.ripple(moss, r[0], r[1], r[2], r[3])
	}
	for _, r := range [][4]float64{{70, 98, 14, 0.8}, {64, 94.6, 10, 0.8}, {76, 91, 18, 1}, {68, 86.4, 12, 1.1}, {66, 81, 14, 1.3}, {56, 49, 12, 2}, {92, 57, 10, 1.8}, {94, 42.6, 12, 2.2}, {54, 38.6, 12, 2.2}, {73, 75.6, 20, 1.8}, {80, 70.4, 18, 2.2}, {78, 59.6, 24, 2.8}, {66, 54.6, 30, 3.4}, {78, 49.6, 22, 3.2}, {66, 44.4, 30, 4}, {78, 39, 26, 3.6}, {66, 33.6, 34, 4.1}, {72, 27.6, 22, 3.4}} {
		p.ripple(straw, r[0], r[1], r[2], r[3])
	}
	// The far bank in the mist.
	p.ripple(slate, 42, 106, 52, 0.9)
	p.ripple(slate, 62, 102.6, 30, 0.7)
	p.ripple(straw, 48, 110, 56, 2.2)
}

// wake paints what the bird does to the water: rings round its legs and
// under its bill, and the legs again, upside down.
func wake(p *picture) {
	leg1, leg2 := xy(122, 55), xy(133.6, 57.6)
	p.ring(slate, "water", leg1, 7, 1.9, 0.5, 0.9, 0)
	p.ring(slate, "water", leg2, 4.4, 1.3, 0.4, 0.7, 0)
	drop := xy(60, 66)
	p.ring(slate, "water", drop, 3.4, 1, 0.36, 0.9, 2)
	p.ring(slate, "water", drop.Plus(xy(0.3, -0.2)), 8.4, 2.4, 0.36, 1.3, 0)
	// The outermost has broken up.
	for _, a := range []struct{ from, to, r, w float64 }{{196, 292, 15, 1.5}, {306, 352, 14.6, 0.9}, {24, 96, 15.2, 0.7}, {118, 166, 14.7, 0.6}} {
		var l []pt
		for k := range 7 {
			s, c := arith.SinCosDegrees(vector.Lerp(a.from, a.to, float64(k)/6))
			l = append(l, drop.Plus(xy(mul(a.r, c), mul(mul(0.28, a.r), s))))
		}
		p.put(p.stroke(slate, "water", leaf(a.w), l))
	}
	for _, r := range [][4]float64{{121, 49.4, 9, 1.5}, {124, 45, 12, 2}, {120.5, 40.4, 11, 2.2}, {123, 35.6, 8, 1.6}, {133.6, 53.6, 7, 1.2}, {135.4, 49, 7, 1.1}} {
		p.ripple(indigo, r[0], r[1], r[2], r[3])
	}
	for i, y := range []float64{52.2, 47.2, 42.8, 38, 33.4} {
		p.ripple(straw, 121.8+mul(1.6, brushwork.Hand(63, i)), y, 6+float64(i), 1.7)
	}
	for i, y := range []float64{55.4, 51.2, 46.8} {
		p.ripple(straw, 134.4+mul(1.4, brushwork.Hand(64, i)), y, 5+float64(i), 1.4)
	}
}
