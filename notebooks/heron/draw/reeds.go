package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
)

// A blade rises from the waterline and leans by so many mm to the right; arch
// 0 is a straight sword, at 1 its tip lies level, beyond it hangs.
type blade struct {
	x, tall, lean, arch, w float64
}

// waterline is where the reeds at x stand in the water: each clump's line
// bows a little towards the painter.
func waterline(x float64) float64 {
	if x < 100 {
		k := (x - 33) / 9
		return 33.4 + mul(mul(1.2, k), k)
	}
	k := (x - 171) / 25
	return 46 + mul(mul(1.6, k), k)
}

func (b blade) line() []pt {
	var l []pt
	for i := range 6 {
		k := float64(i) / 5
		rise := mul(1+b.arch, k) - mul(mul(b.arch, k), k)
		l = append(l, xy(b.x+mul(b.lean, mul(0.12, k)+mul(mul(0.88, k), k)), waterline(b.x)+mul(b.tall, rise)))
	}
	return l
}

// bulrush paints a stem with its seed head.
func (p *picture) bulrush(foot, top pt, bow, long float64, shapes [][]pt) {
	d := top.Minus(foot)
	side := brushwork.Unit(brushwork.Right(d)).Times(bow)
	c := through([]pt{foot, foot.Toward(top, 0.35).Plus(side.Times(0.9)), foot.Toward(top, 0.7).Plus(side.Times(0.8)), top})
	at := func(from, to float64) []pt {
		var l []pt
		for i := range 4 {
			q, _ := c.locate(vector.Lerp(from, to, float64(i)/3))
			l = append(l, q)
		}
		return l
	}
	n := c.length()
	s := p.stroke(moss, "stems", profile{0, 2, 0.3, 1.7, 0.8, 1.1, 1, 0.9}, at(0, n-long-7.5))
	s.as = asPieces
	p.behind(s, shapes)
	// The head in straw, browned on one side with moss; its spike grows out of
	// it.
	seed := p.count
	p.put(p.stroke(straw, "seed heads", profile{0, 1.6, 0.05, 2.9, 0.12, 3.7, 0.24, 4.1, 0.5, 4.15, 0.76, 4.1, 0.88, 3.7, 0.95, 2.9, 1, 1.6}, at(n-long-8.5, n-8.5)))
	p.put(p.stroke(straw, "seed heads", profile{0, 1.2, 0.35, 1.1, 0.7, 1.3, 1, 0.5}, at(n-9.5, n)))
	p.put(p.stroke(moss, "seed heads", profile{0, 0.52, 0.2, 1.6, 0.55, 2.2, 0.85, 1.4, 1, 0.52}, shift(at(n-long-6.5, n-12-mul(2.5, brushwork.Hand(71, seed))), 0.9)))
	p.put(p.stroke(indigo, "seed heads", profile{0, 0.3, 0.3, 0.9, 0.6, 0.7, 1, 0.3}, shift(at(n-long-5-mul(1.5, brushwork.Hand(72, seed)), n-14-mul(3.5, brushwork.Hand(73, seed))), 1.75)))
	if brushwork.Hand(74, seed) > -0.3 {
		from := n - long + mul(4, brushwork.Hand(75, seed))
		p.put(p.stroke(indigo, "seed heads", leaf(0.5), shift(at(from, from+6+mul(2, brushwork.Hand(76, seed))), -1)))
	}
}

func reeds(p *picture, shapes [][]pt) {
	foot := func(x float64) pt { return xy(x, waterline(x)) }
	p.bulrush(foot(165), xy(152, 254), 2, 26, shapes)
	p.bulrush(foot(180.4), xy(176, 278), 3, 31, shapes)
	p.bulrush(foot(188.4), xy(190, 236), 2, 24, shapes)
	p.bulrush(foot(169.4), xy(162.6, 213), -1, 20, shapes)
	p.bulrush(foot(31), xy(38, 141), -2, 18, nil)
	blades := []blade{
		// the tall ones
		{167.4, 205, -54, 0.35, 4},
		{174.4, 140, -36, 1.1, 3.8},
		{190.6, 178, 6, 0.3, 3.4},
		{182.4, 206, 1, 0.05, 2.4},
		{178.2, 214, -9, 0.05, 2.6},
		{194, 84, 2, 0.4, 2.8},
		{185.2, 128, 11, 1.3, 2.8},
		// the low ones before them
		{163, 45, -24, 1, 3.8},
		{157, 32, -12, 0.8, 3},
		{150.4, 20, -7, 0.7, 2.6},
		{160, 25, 2, 0.3, 2.2},
		{171, 52, 1, 0.2, 2.4},
		{186.6, 46, -4, 0.5, 2.6},
		{196, 36, 1.5, 0.8, 2.2},
		// the near bank on the left
		{33, 86, -12, 0.3, 3.8},
		{36, 60, 6, 0.6, 3.4},
		{29, 58, -15, 0.8, 3.4},
		{26.4, 28, -9, 0.9, 2.6},
		{38.6, 26, 7, 0.8, 2.6},
		{31, 74, -13, 0.5, 2.6},
		{41, 15, 5, 0.5, 2.2},
	}
	for i, b := range blades {
		s := p.stroke(moss, "leaves", sword(b.w), b.line())
		if i%3 == 1 {
			s.as = asPolyline
		}
		p.put(s)
		if b.w < 3.7 {
			continue
		}
		// A dark edge along the shaded side.
		var rib []pt
		from, to := 0.1+mul(0.05, brushwork.Hand(30, i)), 0.55+mul(0.1, brushwork.Hand(31, i))
		for k := range 4 {
			at := mul(s.c.length(), vector.Lerp(from, to, float64(k)/3))
			q, t := s.c.locate(at)
			rib = append(rib, q.Plus(brushwork.Right(t).Times(mul(0.36, s.wide(at)))))
		}
		p.put(p.stroke(indigo, "leaves", profile{0, 0.3, 0.35, 0.9, 0.6, 0.6, 1, 0.3}, rib))
	}
	// Dry stalks among the green.
	for _, b := range []blade{{192.4, 140, 1, 0.1, 2}, {34.6, 48, 3, 0.3, 2}, {172.6, 96, -1, 0.1, 2}} {
		p.put(p.stroke(straw, "dry stalks", leaf(b.w), b.line()))
	}
}
