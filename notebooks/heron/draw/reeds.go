package main

// A blade rises from its foot and leans by so many mm to the right; arch 0 is
// a straight sword, at 1 its tip lies level, beyond it hangs.
type blade struct {
	x, y, tall, lean, arch, w float64
	front                     bool
}

func (b blade) line() []pt {
	var l []pt
	for i := range 6 {
		k := float64(i) / 5
		rise := mul(1+b.arch, k) - mul(mul(b.arch, k), k)
		l = append(l, pt{b.x + mul(b.lean, mul(0.12, k)+mul(mul(0.88, k), k)), b.y + mul(b.tall, rise)})
	}
	return l
}

// bulrush paints a stem with its seed head.
func (p *picture) bulrush(foot, top pt, bow, long float64, shapes [][]pt) {
	d := top.minus(foot)
	side := d.right().unit().times(bow)
	c := through([]pt{foot, foot.to(top, 0.35).plus(side.times(0.9)), foot.to(top, 0.7).plus(side.times(0.8)), top})
	at := func(from, to float64) []pt {
		var l []pt
		for i := range 4 {
			q, _ := c.locate(lerp(from, to, float64(i)/3))
			l = append(l, q)
		}
		return l
	}
	n := c.length()
	s := p.stroke(moss, "stems", profile{0, 2, 0.3, 1.7, 0.8, 1.1, 1, 0.9}, at(0, n-long-10))
	s.as = asPieces
	p.behind(s, shapes)
	p.put(p.stroke(straw, "seed heads", profile{0, 1.6, 0.05, 2.9, 0.12, 3.7, 0.24, 4.1, 0.5, 4.15, 0.76, 4.1, 0.88, 3.7, 0.95, 2.9, 1, 1.6}, at(n-long-8.5, n-8.5)))
	p.put(p.stroke(straw, "seed heads", profile{0, 1.2, 0.4, 1.4, 1, 0.5}, at(n-6, n)))
	p.put(p.stroke(indigo, "seed heads", profile{0, 0.3, 0.3, 1.1, 0.6, 0.8, 1, 0.3}, shift(at(n-long-7.5, n-10.5), 1.5)))
	p.put(p.stroke(indigo, "seed heads", leaf(0.6), shift(at(n-long-3.5, n-long+5), -0.9)))
}

// before paints the blades that stand before the bird.
func (p *picture) before() {
	for _, b := range []blade{{151, 40, 142, -7, 0.25, 2.9, true}, {166, 36, 60, -36, 1, 4.1, true}} {
		p.put(p.stroke(moss, "leaves", sword(b.w), b.line()))
		all := p.outlines[moss]
		p.front = append(p.front, all[len(all)-1].flatten(0.5))
	}
}

func (p *picture) reeds(shapes [][]pt) {
	p.bulrush(pt{165, 48}, pt{149, 254}, -5, 26, shapes)
	p.bulrush(pt{177, 42}, pt{176, 278}, 3, 31, shapes)
	p.bulrush(pt{186, 46}, pt{189, 236}, 2, 24, shapes)
	p.bulrush(pt{171, 46}, pt{162, 204}, -2, 20, shapes)
	p.bulrush(pt{31, 34}, pt{38, 141}, -2, 18, nil)
	blades := []blade{
		// behind the bird
		{174, 45, 206, -58, 0.35, 4.15, false},
		{180, 44, 150, -38, 1.1, 4.15, false},
		{184, 43, 178, 13, 0.3, 4, false},
		{181, 46, 206, 2, 0.05, 2.6, false},
		{155, 50, 84, 2, 0.2, 2.4, false},
		{176, 47, 170, -20, 0.25, 2.8, false},
		{166, 48, 150, -14, 0.2, 2.8, false},
		{160, 50, 128, -8, 0.3, 3, false},
		{189, 46, 108, 7, 0.5, 3.2, false},
		{193, 48, 72, 3, 0.4, 2.6, false},
		{170, 46, 214, -6, 0.05, 3, false},
		// before it
		{160, 38, 38, -15, 0.8, 3.2, true},
		{174, 35, 108, -14, 0.3, 4.1, true},
		{182, 37, 88, 9, 0.6, 3.8, true},
		{190, 40, 54, 6, 0.7, 3.2, true},
		{168, 36, 62, -1, 0.1, 3.2, true},
		{154, 40, 26, -9, 0.5, 2.6, true},
		{194, 44, 34, 2, 0.3, 2.4, true},
		{186, 36, 30, 3, 0.4, 2.6, true},
		{150, 42, 18, -6, 0.6, 2.2, true},
		{164, 35, 26, -5, 0.3, 2.6, true},
		// the near bank on the left
		{33, 33, 86, -12, 0.3, 3.8, true},
		{35, 31, 60, 7, 0.6, 3.6, true},
		{30, 32, 58, -15, 0.8, 3.4, true},
		{28, 34, 28, -11, 0.9, 2.6, true},
		{32, 31, 42, -4, 0.2, 2.8, true},
		{38, 32, 26, 7, 0.8, 2.4, true},
		{29, 33, 74, -13, 0.5, 2.6, true},
		{26, 35, 18, -6, 0.6, 2.2, true},
		{40, 31, 15, 6, 0.5, 2.2, true},
	}
	for i, b := range blades {
		s := p.stroke(moss, "leaves", sword(b.w), b.line())
		if i%3 == 1 {
			s.as = asPolyline
		}
		if b.front {
			p.put(s)
		} else {
			p.behind(s, shapes)
		}
		if b.w < 3.5 {
			continue
		}
		// A dark edge along the shaded side.
		var rib []pt
		from, to := 0.05+mul(0.08, hand(30, i)), 0.55+mul(0.1, hand(31, i))
		for k := range 4 {
			at := mul(s.c.length(), lerp(from+0.05, to, float64(k)/3))
			q, t := s.c.locate(at)
			rib = append(rib, q.plus(t.right().times(mul(0.36, s.wide(at)))))
		}
		r := p.stroke(indigo, "leaves", profile{0, 0.3, 0.35, 0.9, 0.6, 0.6, 1, 0.3}, rib)
		if b.front {
			p.put(r)
		} else {
			p.behind(r, shapes)
		}
	}
	// A blade with its tip broken over.
	p.behind(p.stroke(moss, "leaves", profile{0, 0.5, 0.15, 2.4, 0.5, 4, 0.85, 2.6, 1, 1.2}, points(179, 43, 181, 90, 182, 134, 187, 178)), shapes)
	p.put(p.stroke(moss, "leaves", profile{0, 1.2, 0.2, 2.4, 0.5, 3.4, 0.8, 1.8, 1, 0.4}, points(187.4, 178.6, 192, 169, 195, 156, 196, 142)))
	// Dry stalks among the green.
	for _, b := range []blade{{180, 42, 148, 8, 0.1, 2.4, false}, {38, 33, 48, 2, 0.3, 2, true}, {173, 44, 150, 0, 0.1, 2, false}} {
		s := p.stroke(straw, "dry stalks", leaf(b.w), b.line())
		if b.front {
			p.put(s)
		} else {
			p.behind(s, shapes)
		}
	}
}
