package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
)

// wing paints the folded wing, its feathers in rows along the form.
func wing(p *picture) {
	e := loft{through(brushwork.Points(113.6, 176.4, 120, 172, 130.6, 163.4, 144.4, 143, 156, 121, 164.6, 103)), through(brushwork.Points(108, 167.4, 118, 166, 128, 157, 140.6, 138, 152.4, 117, 161, 101))}
	w := loft{through(brushwork.Points(104, 166, 117, 170.5, 130.5, 161.5, 145, 140.5, 156.4, 119, 167, 99)), through(brushwork.Points(96.5, 152, 101, 138, 114.5, 124.5, 132, 114, 149, 104, 169.5, 90))}
	// Small coverts in staggered rows.
	for r := range 4 {
		n := 8 + r%2
		for i := range n {
			u := 0.07 + mul(0.078, float64(r)) + mul(0.012, brushwork.Hand(12, 17*r+i))
			v := 0.1 + mul(0.86, (float64(i)+mul(0.5, float64((r+1)%2)))/float64(n))
			if brushwork.Hand(11, 17*r+i) > 0.9 || v < 0.5-mul(0.09, float64(r)) {
				continue
			}
			p.put(p.stroke(slate, "coverts", drop(1.7+mul(0.2, float64(r))), w.from(u, v, u+0.075+mul(0.012, float64(r)), v+0.015, 0.02)))
		}
	}
	// Great coverts, with a dark touch under each.
	for i := range 9 {
		v := 0.16 + mul(0.1, float64(i))
		d := mul(0.012, brushwork.Hand(13, i))
		p.put(p.stroke(slate, "coverts", drop(2.4), w.from(0.39+d, v, 0.55+d, v+0.01, 0.012)))
		if i > 1 {
			p.put(p.stroke(indigo, "coverts", leaf(1.0), w.from(0.535+d, v+0.045, 0.6+d, v+0.05, 0)))
		}
	}
	for i := range 8 {
		v := 0.2 + mul(0.105, float64(i))
		d := mul(0.012, brushwork.Hand(14, i))
		p.put(p.stroke(slate, "secondaries", profile{0, 0.34, 0.3, 1.3, 0.75, 2.35, 0.93, 2, 1, 1}, w.from(0.55+d, v, 0.8+d, vector.Lerp(v, 0.55, 0.12), 0.01)))
	}
	// The wing's tip: grey and dark feathers by turns, painted on across the
	// reed that stands there.
	for i := range 4 {
		v := 0.12 + mul(0.25, float64(i))
		d := mul(0.035, float64(i))
		p.put(p.stroke(slate, "primaries", profile{0, 0.34, 0.35, 1.5, 0.66, 2.3, 0.86, 1.6, 1, 0.34}, w.from(0.7, v, 0.89+d, v+0.03, 0.012)))
		v += 0.11
		p.put(p.stroke(indigo, "primaries", profile{0, 0.3, 0.35, 1, 0.62, 2.2, 0.8, 1.6, 1, 0.3}, w.from(0.66-mul(0.012, float64(i)), v, 0.93+d, v+0.03, 0.01)))
	}
	// Long plumes from the shoulder over the back.
	for i := range 8 {
		v := 0.02 + mul(0.055, float64(i))
		a := 0.03 + mul(0.03, float64(i%3))
		b := a + 0.42 - mul(0.03, float64(i)) + mul(0.04, brushwork.Hand(15, i))
		p.put(p.stroke(slate, "scapulars", profile{0, 0.4, 0.3, 1.7, 0.6, 1.2, 1, 0.34}, w.from(a, v, b, v+0.07, 0.05)))
		if i == 1 || i == 3 {
			p.put(p.stroke(indigo, "scapulars", profile{0, 0.3, 0.5, 0.7, 1, 0.3}, w.from(a+0.14, v+0.045, b+0.02, v+0.095, 0.035)))
		}
	}
	// The mantle, between them and the back.
	for i, q := range []struct{ from, to, v float64 }{{0.12, 0.4, 0.3}, {0.2, 0.52, 0.62}, {0.34, 0.62, 0.25}, {0.44, 0.76, 0.6}, {0.6, 0.86, 0.3}} {
		a := mul(0.02, brushwork.Hand(23, i))
		p.put(p.stroke(slate, "mantle", leaf(1.3), e.from(q.from+a, q.v, q.to+a, q.v+0.1, 0)))
	}
}

// body draws what holds the feathers together.
func body(p *picture) {
	// Lower edge of the wing, belly.
	p.brush(indigo, "wing", profile{0, 0.4, 0.25, 2.3, 0.5, 1.2, 0.8, 0.9, 1, 0.3}, 97, 155, 98, 146, 104, 135, 114, 125.4, 126, 117.6)
	p.brush(indigo, "wing", profile{0, 0.3, 0.4, 1.4, 0.8, 0.8, 1, 0.3}, 124, 117, 136, 110.8, 150, 102, 163, 93.4)
	p.brush(indigo, "shoulder", wedge(2.3), 99.4, 159, 100.4, 151, 106.4, 140)
	p.brush(indigo, "shoulder", wedge(2.3), 102, 160, 102.2, 152, 107, 141.4)
	p.brush(indigo, "shoulder", wedge(2), 104.6, 158.6, 104, 152.4, 107.6, 143.4)
	p.brush(indigo, "belly", profile{0, 0.3, 0.5, 1, 1, 0.3}, 95, 139, 101, 128.4, 110, 119.4, 118, 114.4)
	p.brush(indigo, "belly", profile{0, 0.3, 0.5, 0.9, 1, 0.3}, 128, 109.6, 139, 105, 150, 99.4)
	f := loft{through(brushwork.Points(100, 136, 114, 122, 130, 112.5, 146, 104)), through(belly[1:])}
	for i := range 6 {
		u := 0.05 + mul(0.15, float64(i))
		p.put(p.stroke(slate, "flank", leaf(1.2), f.from(u, 0.45+mul(0.2, brushwork.Hand(16, i)), u+0.2, 0.6, 0.05)))
	}
	// Tail below the primaries.
	p.brush(slate, "tail", profile{0, 0.4, 0.5, 2, 0.8, 1.6, 1, 0.4}, 146, 102.6, 157, 96, 168.4, 87.6)
	p.brush(slate, "tail", profile{0, 0.4, 0.5, 2, 0.8, 1.6, 1, 0.4}, 147, 99.6, 156.6, 94, 165.6, 86.2)
}
