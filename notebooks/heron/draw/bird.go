package main

import "mahlstick/notebooks/brushwork"

// The bird looks to the left. Its outline, from the bill round.
var (
	crown  = brushwork.Points(54, 216.8, 70, 220.6, 86.5, 225.2, 93, 229, 100, 229.8, 107, 226.5, 113.5, 219, 117.6, 208, 115.5, 195, 110, 184, 108.5, 177)
	throat = brushwork.Points(54, 216.8, 70, 217.6, 87.5, 217.6, 95, 215, 103, 213.5, 108, 207, 106.5, 196, 98, 184, 90.5, 171, 89, 157, 94, 143)
	back   = brushwork.Points(108.5, 177, 117, 173, 130, 162.5, 144, 142.5, 156, 120, 168, 98)
	belly  = brushwork.Points(94, 143, 103, 127.5, 116, 116.5, 131, 110, 148, 102, 166, 95)
)

// silhouette of the bird without its legs.
func silhouette() []pt {
	var out []pt
	add := func(p []pt, reverse bool) {
		c := through(p)
		for i := range 60 {
			k := float64(i) / 60
			if reverse {
				k = 1 - k
			}
			q, _ := c.locate(mul(k, c.length()))
			out = append(out, q)
		}
	}
	add(crown, false)
	add(back, false)
	add(belly, true)
	add(throat, true)
	return out
}

// head paints bill, eye, crown and crest.
func head(p *picture) {
	// Bill: straw under an indigo drawing.
	p.brush(straw, "bill", profile{0, 0.5, 0.4, 2.6, 0.75, 3.9, 0.9, 2.6, 1, 0.6}, 58, 217.3, 70, 219, 82, 221, 91, 222)
	p.brush(indigo, "bill", profile{0, 0.3, 0.3, 0.9, 0.75, 1.7, 0.92, 1.2, 1, 0.4}, 54, 216.8, 64, 219.1, 76, 222.3, 86.5, 225.4)
	p.brush(indigo, "bill", profile{0, 0.3, 0.4, 0.55, 0.8, 0.9, 1, 0.35}, 54.6, 216.5, 66, 217.4, 78, 217.6, 88, 217.5)
	p.brush(indigo, "bill", profile{0, 0.3, 0.5, 0.5, 0.85, 0.7, 1, 0.3}, 63, 218.2, 76, 219.8, 87, 221.2, 92.5, 220.4)
	p.brush(indigo, "bill", leaf(0.5), 80, 221.8, 82, 222.3, 84, 222.7)

	// Eye: a ring round a pale iris, the pupil set forward, a brow that
	// frowns.
	eye := xy(93.2, 223.9)
	p.disc(straw, "eye", eye, 1.35, 0)
	p.disc(indigo, "eye", eye, 1.75, 0)
	p.disc(indigo, "eye", eye, 1.28, 1)
	p.disc(indigo, "eye", eye.Plus(xy(-0.18, 0.08)), 0.72, 2)
	p.brush(indigo, "eye", profile{0, 0.3, 0.3, 0.75, 0.6, 0.6, 1, 0.3}, 88.2, 224, 90.4, 226, 93.4, 226.75, 96.8, 226)

	// Crown and the dark stripe that runs out into the crest.
	p.brush(indigo, "head", profile{0, 0.3, 0.3, 0.7, 0.7, 0.5, 1, 0.3}, 86.8, 225.6, 92, 229, 98, 230.2, 104, 228.6)
	p.brush(indigo, "crest", profile{0, 0.4, 0.12, 1.3, 0.3, 2.3, 0.5, 1.6, 0.75, 0.9, 1, 0.3}, 95.6, 228.4, 100.4, 228.5, 107, 226.6, 118, 221, 130, 212.5, 141, 202)
	p.brush(indigo, "crest", profile{0, 0.4, 0.2, 1.9, 0.45, 1.4, 1, 0.3}, 98.4, 225.6, 106, 225.2, 116, 219, 126, 209, 132, 199)
	p.brush(indigo, "crest", leaf(0.8), 105, 228.2, 114, 225.6, 124, 220.6, 136, 214)
	p.brush(slate, "head", leaf(1.1), 97, 221.5, 102, 221, 107, 218.5, 110.6, 213.6)
	p.brush(slate, "head", leaf(0.7), 96, 218.4, 101, 217.6, 105, 215.4)
}

// neck paints the neck and the plumes that hang from it over the breast.
func neck(p *picture) {
	n := loft{through(brushwork.Points(107, 226, 113.5, 219, 117.6, 208, 115.5, 195, 110, 184, 107, 172, 110, 160)), through(brushwork.Points(95, 215, 103, 213.5, 108, 207, 106.5, 196, 98, 184, 90.5, 171, 89, 157))}
	// The back of the neck in two sweeps, the second of which becomes the
	// back; the throat in two.
	p.brush(indigo, "neck", profile{0, 0.3, 0.2, 0.9, 0.4, 1.3, 0.7, 0.7, 1, 0.3}, 109, 224.4, 114.6, 217.6, 117.8, 208, 116, 196.4, 111.6, 187)
	p.brush(indigo, "back", profile{0, 0.3, 0.1, 0.8, 0.2, 0.9, 0.4, 1.7, 0.62, 0.9, 0.84, 1.6, 1, 0.3}, 113, 191, 111, 185.4, 110.8, 180.6, 113.6, 176.4, 120, 172, 130.6, 163.4, 144.4, 143, 156, 121, 164.6, 103)
	p.brush(indigo, "neck", leaf(0.6), 110, 184.4, 108.4, 180.4, 108.2, 176)
	p.brush(indigo, "neck", profile{0, 0.3, 0.3, 0.7, 0.6, 1.2, 0.85, 0.6, 1, 0.3}, 88, 217.4, 95, 215.2, 102, 213.6, 107, 208.4, 107.6, 201, 104, 192)
	p.brush(indigo, "neck", profile{0, 0.3, 0.3, 0.6, 0.6, 1.3, 1, 0.3}, 102, 189.6, 96, 181, 91, 171.4, 88.6, 161, 89.4, 151)
	for i, v := range []float64{0.1, 0.2, 0.3} {
		a := 0.16 + mul(0.05, float64(i))
		p.put(p.stroke(slate, "neck", leaf(1.5-mul(0.2, float64(i))), n.from(a, v, a+0.26, v+0.02, 0)))
		p.put(p.stroke(slate, "neck", leaf(1.6-mul(0.2, float64(i))), n.from(a+0.3, v+0.02, a+0.58, v+0.08, 0)))
	}
	// First light on the side that faces the sun.
	p.brush(straw, "light", profile{0, 0.5, 0.4, 1.6, 0.7, 1.2, 1, 0.5}, 104, 212, 107.2, 207, 106.6, 199, 103.4, 191.4)
	p.brush(straw, "light", profile{0, 0.5, 0.35, 2.2, 0.6, 1.7, 1, 0.5}, 102, 187, 96.4, 179, 92.6, 171, 90.8, 162)
	// The two rows of dark dashes down the front.
	for i := range 9 {
		k := float64(i) / 8
		u := 0.22 + mul(0.7, mul(k, 1.16-mul(0.16, k)))
		w := 0.62 + mul(0.46, k)
		long := 0.058 + mul(0.006, k)
		p.put(p.stroke(indigo, "neck", spindle(w), n.from(u, 0.83, u+long, 0.8, 0)))
		if i > 1 && i < 8 {
			p.put(p.stroke(indigo, "neck", spindle(mul(w, 0.85)), n.from(u+0.045, 0.62, u+0.045+long, 0.6, 0)))
		}
	}
	// Soft feathers where the neck meets the breast.
	for i, q := range []struct{ x, y, dx, dy float64 }{{97, 168, -0.6, -9}, {99.6, 165, 0, -9}, {102, 168.5, -0.8, -10}, {94.6, 158, -0.6, -9}, {101.4, 176, -2, -8}, {105, 171, -0.4, -9}} {
		a := xy(q.x, q.y)
		p.put(p.stroke(slate, "neck", leaf(0.9+mul(0.2, brushwork.Hand(19, i))), []pt{a, a.Plus(xy(q.dx/2-0.6, q.dy/2)), a.Plus(xy(q.dx, q.dy))}))
	}
	// Long plumes hanging over the breast.
	for i, q := range []struct{ x, y, dx, dy, bow, w float64 }{
		{90.5, 165, -5.5, -19, -2.2, 1.2}, {91, 160, -4, -25, -3, 1.4}, {92.6, 161, -1.6, -30, -3.4, 1.5},
		{93.8, 156, 1.6, -30, -3.6, 1.5}, {95.2, 152, 4.4, -28, -3.4, 1.3}, {96.4, 160, -3, -22, -2.4, 1.1}, {97, 148, 6.6, -22, -2.6, 1.1},
	} {
		a := xy(q.x, q.y)
		l := []pt{a, a.Plus(xy(mul(q.dx, 0.3)+mul(q.bow, 0.8), mul(0.36, q.dy))), a.Plus(xy(mul(q.dx, 0.66)+mul(q.bow, 0.8), mul(0.72, q.dy))), a.Plus(xy(q.dx, q.dy))}
		p.put(p.stroke(slate, "plumes", profile{0, 0.34, 0.35, q.w, 0.7, mul(q.w, 0.8), 1, 0.34}, l))
		if i%2 == 1 {
			p.put(p.stroke(indigo, "plumes", profile{0, 0.3, 0.5, 0.8, 1, 0.3}, shift(l[1:], -1.5)))
		}
	}
}

var (
	nearLeg = brushwork.Points(123, 110, 126, 99, 127.8, 88.6, 127.4, 86, 125, 71, 122.6, 57)
	farLeg  = brushwork.Points(136, 106, 140, 97, 142.2, 88.6, 141.6, 86, 137.6, 72, 134.2, 59)
)

// leg is the shape of a leg.
func leg(l []pt) []pt {
	c := through(l)
	var out, home []pt
	for i := range 30 {
		q, t := c.locate(mul(c.length(), float64(i)/29))
		out = append(out, q.Plus(t.Left().Times(1.2)))
		home = append(home, q.Minus(t.Left().Times(1.2)))
	}
	for i := range home {
		out = append(out, home[len(home)-1-i])
	}
	return out
}

// legs paints both legs down to the water.
func legs(p *picture) {
	p.brush(straw, "legs", profile{0, 0.6, 0.14, 1.8, 0.24, 2, 0.31, 2.8, 0.38, 1.9, 0.9, 1.6, 1, 0.8}, 125.4, 101, 126.8, 94, 127.6, 88, 125, 71, 122.7, 57.4)
	p.brush(straw, "legs", profile{0, 0.6, 0.14, 1.3, 0.24, 1.4, 0.31, 2, 0.38, 1.3, 0.9, 1.1, 1, 0.6}, 139, 100, 141.2, 93.6, 142, 88, 137.6, 72, 134.4, 59.4)
	// One side of each leg drawn, the joints marked, the shins ringed.
	p.brush(indigo, "legs", profile{0, 0.3, 0.22, 0.7, 0.36, 1, 0.42, 1.3, 0.48, 0.8, 0.75, 0.5, 1, 0.3}, 125.6, 108, 127.9, 98, 129.2, 90, 129, 86.4, 127.6, 79, 125.9, 70, 123.5, 57.8)
	p.brush(indigo, "legs", profile{0, 0.3, 0.22, 0.5, 0.34, 0.7, 0.4, 0.9, 0.46, 0.6, 0.75, 0.45, 1, 0.3}, 138.6, 104, 141.6, 96.4, 143, 89.6, 142.6, 85.6, 140.7, 79.6, 138.1, 71, 134.9, 59.8)
	for _, q := range brushwork.Points(126.2, 81.2, 125.4, 76.4, 123.9, 66.8, 139.5, 79.4, 136.9, 70) {
		ring := p.stroke(indigo, "shins", profile{0, hairline, 1, hairline}, []pt{q.Plus(xy(-0.8, 0.25)), q.Plus(xy(0.1, -0.15)), q.Plus(xy(0.9, 0.1))})
		ring.least = hairline
		p.put(ring)
	}
	p.brush(indigo, "legs", profile{0, 0.3, 0.5, 0.7, 1, 0.3}, 126.7, 92, 126.3, 88.6, 126.4, 85)
	p.brush(indigo, "legs", profile{0, 0.3, 0.5, 0.5, 1, 0.3}, 141.3, 91, 141, 88.2, 140.9, 85.2)
	// Feathered thighs.
	for i, a := range brushwork.Points(119, 115, 122.5, 113.4, 126, 112, 131.6, 109.6, 135.4, 108, 139, 106.4) {
		lean := 2.4 + mul(0.5, brushwork.Hand(17, i))
		long := 11 + mul(2.5, brushwork.Hand(18, i))
		p.put(p.stroke(slate, "thighs", leaf(1.5), []pt{a, a.Plus(xy(mul(lean, 0.4), -mul(0.5, long))), a.Plus(xy(lean, -long))}))
	}
	p.brush(indigo, "thighs", leaf(0.9), 117.4, 114.6, 120, 107, 124.2, 100.4)
	p.brush(indigo, "thighs", leaf(0.7), 131, 108.4, 134.4, 102, 138.2, 97.6)
}
