package main

import "mahlstick/notebooks/brushwork"

// barley is two ears of barley that lean away from each other.
func barley() *picture {
	p := onSheet("13-barley")
	for i, e := range []struct {
		x, y, lean, side float64
		grains           int
	}{{60, 44, 30, 1, 7}, {86, 38, -24, -1, 7}} {
		foot := xy(e.x, e.y)
		at := func(x, y float64) pt { return foot.Plus(brushwork.Turned(xy(x, y), e.lean)) }
		p.along("stalks", profile{0, 1.2, 0.6, 1, 1, 0.7}, []pt{xy(74+mul(2, e.side), 10), xy(74-mul(2.5, e.side), 28), at(0, -6), at(0, -1)})
		for k := range e.grains {
			high := step(0, 4.1, k)
			for _, side := range []float64{-1, 1} {
				h, w := high, 1.7-mul(0.07, float64(k))
				if side > 0 {
					h += 2
				}
				p.along("grains", profile{0, 0.5, 0.45, w, 1, 0.5}, []pt{at(mul(side, 0.9), h), at(mul(side, 2.9), h+2.4), at(mul(side, 3), h+5.6)})
				long := wander(15, 2.5, 40*i+2*k+int(side))
				p.along("awns", profile{0, 0.6, 1, 0.45}, []pt{at(mul(side, 3.1), h+7), at(mul(side, 4.4), h+7+mul(0.5, long)), at(mul(side, 7), h+7+long)})
			}
		}
		p.along("grains", profile{0, 0.5, 0.45, 1.2, 1, 0.5}, []pt{at(0, step(0.8, 4.1, e.grains)), at(0.3, step(3, 4.1, e.grains)), at(0, step(5.4, 4.1, e.grains))})
	}
	// A leaf at each stalk.
	p.stroke("leaves", profile{0, 0.6, 0.35, 1.8, 1, 0.5}, 70.4, 26, 58, 37, 44, 39, 31, 30)
	p.stroke("leaves", profile{0, 0.6, 0.35, 1.8, 1, 0.5}, 78.6, 22, 92, 30, 106, 29, 118, 19)
	return p
}

// feather is a feather with its shaft and its barbs.
func feather() *picture {
	p := onSheet("14-feather")
	shaft := smooth(brushwork.Points(24, 22, 50, 40, 84, 61, 126, 80), false)
	p.along("shaft", profile{0, 1.3, 0.4, 1, 1, 0.6}, shaft)
	for i := range 22 {
		k := 0.2 + mul(0.035, float64(i))
		n := int(mul(k, float64(len(shaft)-2)))
		a := shaft[n]
		way := brushwork.Unit(shaft[n+1].Minus(a))
		long := mul(26, 1-mul(k, k)) + 4
		for _, side := range []float64{-1, 1} {
			reach := mul(long, 0.55+mul(0.1, side))
			l := wander(reach, 0.7, 3*i+int(side)+5)
			out := way.Left().Times(side)
			p.along("barbs", profile{0, 0.6, 0.5, 1.2, 1, 0.4}, []pt{a.Plus(way.Times(1)).Plus(out.Times(1.4)), a.Plus(way.Times(mul(l, 0.55))).Plus(out.Times(mul(l, 0.62))), a.Plus(way.Times(mul(l, 1.25))).Plus(out.Times(mul(l, 0.95)))})
		}
	}
	return p
}
