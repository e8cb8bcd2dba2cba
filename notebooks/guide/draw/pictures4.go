package main

import "mahlstick/notebooks/brushwork"

// pears are two pears, one of them leaning: a wash in broad strokes, and the lines
// that hold it.
func pears() *picture {
	p := onSheet("15-pears")
	for n, f := range []struct{ x, y, lean, k float64 }{{52, 46, 6, 1}, {96, 43, -16, 0.92}} {
		foot := xy(f.x, f.y)
		at := func(x, y float64) pt { return foot.Plus(brushwork.Turned(xy(x, y).Times(f.k), f.lean)) }
		for i := range 5 {
			s := float64(i - 2)
			high := 25 - mul(1.5, mul(s, s))
			p.along("wash", profile{0, 0.9, 0.35, 2.4, 0.75, 3.6, 1, 1.2}, []pt{at(mul(1.5, s), high), at(mul(3.2, s), 8), at(mul(4.9, s), -6), at(mul(3.5, s), -19+mul(0.8, mul(s, s)))})
		}
		side := func(way float64) []pt {
			return []pt{at(mul(way, 1.6), 30), at(mul(way, 6.2), 24), at(mul(way, 8.6), 9), at(mul(way, 14.2), -5), at(mul(way, 10.6), -19), at(mul(way, 2.2), -22.6)}
		}
		p.along("lines", profile{0, 0.4, 0.3, 1.1, 0.7, 1.5, 1, 0.5}, smooth(side(-1), false))
		p.along("lines", profile{0, 0.4, 0.4, 0.7, 0.8, 1, 1, 0.4}, smooth(side(1), false))
		p.along("lines", profile{0, 0.5, 0.6, 1, 1, 1.3}, []pt{at(0, 27), at(0.6, 33), at(3.4, 38+float64(n))})
	}
	p.stroke("lines", profile{0, 0.4, 0.5, 0.9, 1, 0.4}, 20, 20, 60, 17.4, 100, 18.6, 130, 16.8)
	return p
}
