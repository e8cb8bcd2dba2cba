package main

// wing paints the folded wing, its feathers in rows along the form.
func (p *picture) wing() {
	w := loft{through(points(104, 166, 117, 170.5, 130.5, 161.5, 145, 140.5, 156.4, 119, 167, 99)), through(points(96.5, 152, 101, 138, 114.5, 124.5, 132, 114, 149, 104, 169.5, 90))}
	// Small coverts in staggered rows.
	for r := range 4 {
		n := 8 + r%2
		for i := range n {
			u := 0.07 + mul(0.078, float64(r)) + mul(0.012, hand(12, 17*r+i))
			v := 0.1 + mul(0.86, (float64(i)+mul(0.5, float64((r+1)%2)))/float64(n))
			if hand(11, 17*r+i) > 0.9 || v < 0.5-mul(0.09, float64(r)) {
				continue
			}
			p.around(p.stroke(slate, "coverts", drop(1.7+mul(0.2, float64(r))), w.from(u, v, u+0.075+mul(0.012, float64(r)), v+0.015, 0.02)))
		}
	}
	// Great coverts, with a dark touch under each.
	for i := range 9 {
		v := 0.16 + mul(0.1, float64(i))
		d := mul(0.012, hand(13, i))
		p.around(p.stroke(slate, "coverts", drop(2.4), w.from(0.39+d, v, 0.55+d, v+0.01, 0.012)))
		if i > 1 {
			p.around(p.stroke(indigo, "coverts", leaf(1.0), w.from(0.535+d, v+0.045, 0.6+d, v+0.05, 0)))
		}
	}
	for i := range 8 {
		v := 0.2 + mul(0.105, float64(i))
		d := mul(0.012, hand(14, i))
		p.around(p.stroke(slate, "secondaries", profile{0, 0.34, 0.3, 1.3, 0.75, 2.35, 0.93, 2, 1, 1}, w.from(0.55+d, v, 0.8+d, lerp(v, 0.55, 0.12), 0.01)))
	}
	for i := range 4 {
		v := 0.18 + mul(0.25, float64(i))
		p.around(p.stroke(indigo, "primaries", profile{0, 0.3, 0.3, 0.8, 0.68, 2.2, 0.9, 1.6, 1, 0.5}, w.from(0.68-mul(0.01, float64(i)), v, 0.9+mul(0.045, float64(i)), v+0.02, 0.01)))
	}
	// Long plumes from the shoulder over the back.
	for i := range 8 {
		v := 0.02 + mul(0.055, float64(i))
		a := 0.03 + mul(0.03, float64(i%3))
		b := a + 0.42 - mul(0.03, float64(i)) + mul(0.04, hand(15, i))
		p.around(p.stroke(slate, "scapulars", profile{0, 0.4, 0.3, 1.7, 0.6, 1.2, 1, 0.34}, w.from(a, v, b, v+0.07, 0.05)))
		if i == 1 || i == 3 {
			p.around(p.stroke(indigo, "scapulars", profile{0, 0.3, 0.5, 0.7, 1, 0.3}, w.from(a+0.14, v+0.045, b+0.02, v+0.095, 0.035)))
		}
	}
	// The light edge of the back.
	e := loft{through(back), w.a}
	for i := range 3 {
		u := 0.36 + mul(0.16, float64(i))
		p.around(p.stroke(slate, "back", leaf(0.9), e.from(u, 0.62, u+0.17, 0.6, 0.12)))
	}
}

// body draws what holds the feathers together.
func (p *picture) body() {
	// Back, lower edge of the wing, belly.
	p.brush(indigo, "back", profile{0, 0.3, 0.25, 1.5, 0.5, 0.8, 0.8, 1.6, 1, 0.3}, 109, 175.6, 119, 174, 131.6, 164, 145.4, 144, 157.4, 121, 166, 102)
	p.brush(indigo, "wing", profile{0, 0.4, 0.25, 2.3, 0.5, 1.2, 0.8, 0.9, 1, 0.3}, 97, 155, 98, 146, 104, 135, 114, 125.4, 126, 117.6)
	p.brush(indigo, "wing", profile{0, 0.3, 0.4, 1.4, 0.8, 0.8, 1, 0.3}, 124, 117, 136, 110.8, 150, 102, 163, 93.4)
	p.brush(indigo, "shoulder", comma(2.35), 99.6, 156, 100.6, 149, 104.4, 142.4)
	p.brush(indigo, "shoulder", comma(2.3), 102.4, 157, 103.2, 151.4, 106.8, 145.6)
	p.brush(indigo, "shoulder", comma(1.7), 105.4, 157.4, 106, 153.2, 108.8, 149)
	p.brush(indigo, "belly", profile{0, 0.3, 0.5, 1, 1, 0.3}, 95, 139, 101, 128.4, 110, 119.4, 118, 114.4)
	p.brush(indigo, "belly", profile{0, 0.3, 0.5, 0.9, 1, 0.3}, 128, 109.6, 139, 105, 150, 99.4)
	f := loft{through(points(100, 136, 114, 122, 130, 112.5, 146, 104)), through(belly[1:])}
	for i := range 6 {
		u := 0.05 + mul(0.15, float64(i))
		p.around(p.stroke(slate, "flank", leaf(1.2), f.from(u, 0.45+mul(0.2, hand(16, i)), u+0.2, 0.6, 0.05)))
	}
	// Tail below the primaries.
	p.brush(slate, "tail", profile{0, 0.4, 0.5, 2, 0.9, 1.6, 1, 0.8}, 148, 101.6, 158, 95.6, 167, 88.6)
	p.brush(slate, "tail", profile{0, 0.4, 0.5, 2, 0.9, 1.6, 1, 0.8}, 150, 98.4, 158, 93, 165.4, 86.6)
}
