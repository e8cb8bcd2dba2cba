package main

import "mahlstick/notebooks/brushwork"

// petals is the warm layer of the flowers.
func petals() *picture {
	p := drawn("06-petals", "mm", xy(10, 10), false)
	p.mark(14, 14, 6)
	for _, f := range []struct{ x, y, lean, k float64 }{{34, 96, 12, 0.92}, {55, 112, 0, 1}, {77, 90, -14, 0.86}} {
		at := func(x, y float64) pt { return xy(f.x, f.y).Plus(brushwork.Turned(xy(x, y).Times(f.k), f.lean)) }
		w := mul(4, f.k)
		p.along("petals", profile{0, 0.7, 0.45, w, 1, 0.6}, []pt{at(-1.6, 1), at(-8, 8), at(-5.2, 22)})
		p.along("petals", profile{0, 0.7, 0.45, w, 1, 0.6}, []pt{at(1.6, 1), at(8, 8), at(5.2, 22)})
		p.along("petals", profile{0, 0.7, 0.5, w, 1, 0.6}, []pt{at(-0.9, 3.4), at(-3.2, 11), at(-1.4, 23.4)})
		p.along("petals", profile{0, 0.7, 0.5, w, 1, 0.6}, []pt{at(1.2, 4.6), at(3.4, 11.4), at(2.2, 20.6)})
	}
	return p
}

// stems is the green layer of the flowers.
func stems() *picture {
	p := drawn("06-stems", "in", xy(0, -148), false)
	p.mark(14, 14, 6)
	p.stroke("stems", profile{0, 1.2, 0.5, 1.5, 1, 0.8}, 47, 15, 45, 50, 38, 78, 34.6, 94.4)
	p.stroke("stems", profile{0, 1.2, 0.5, 1.5, 1, 0.8}, 52, 14, 54, 60, 55, 110.2)
	p.stroke("stems", profile{0, 1.2, 0.5, 1.5, 1, 0.8}, 57, 15, 62, 46, 71, 72, 76.4, 88.4)
	p.stroke("leaves", profile{0, 1, 0.4, 4, 1, 0.5}, 43.4, 17, 31, 34, 23, 56, 22, 74)
	p.stroke("leaves", profile{0, 1, 0.45, 3.6, 1, 0.5}, 44, 26, 41, 34, 37, 42, 33, 54)
	p.stroke("leaves", profile{0, 1, 0.4, 4, 1, 0.5}, 60.6, 17, 76, 32, 86, 52, 89, 70)
	p.stroke("leaves", profile{0, 1, 0.45, 3.4, 1, 0.5}, 63, 28, 68, 36, 73, 44, 76, 57)
	return p
}

// cat is a cat that sits: wide and thin, with holes.
func cat() *picture {
	p := onSheet("07-wide-and-thin")
	p.area("body",
		52, 114.4, 46.4, 115.6, 40.4, 122.8, 38.4, 124.6, 37, 122.4, 35, 111, 34.4, 103, 36.6, 95, 40.6, 88.6, 39, 80, 35, 66, 31.6, 50, 30.6, 36, 32, 24.6,
		37, 19, 45, 17.8, 54, 17.6, 63, 17.8, 71.4, 19, 76, 25, 77, 37, 75.4, 51, 71.4, 66, 66.4, 80, 64, 88.6, 67.6, 95, 69.8, 103, 69.2, 111, 67.2, 122.4, 65.8, 124.6, 63.8, 122.8, 57.8, 115.6)
	for _, x := range []float64{44.8, 59.4} {
		// An eye is a hole, its pupil stands in the hole.
		p.area("eyes", x-3.4, 103, x, 105.4, x+3.4, 103, x, 100.6)
		p.area("eyes", x-0.8, 103, x, 104.7, x+0.8, 103, x, 101.3)
	}
	p.area("nose", 50.3, 97, 53.9, 97, 52.1, 94.8)
	// Whiskers, thinner than the lightest mark of the brush.
	for i := range 3 {
		dy := step(3, -3, i)
		p.stroke("whiskers", even(0.3), 33, 96+dy/3, 26, 97+dy, 17, 96+mul(1.8, dy))
		p.stroke("whiskers", even(0.3), 71.2, 96+dy/3, 78.2, 97+dy, 87.2, 96+mul(1.8, dy))
	}
	p.stroke("tail", profile{0, 2, 0.4, 3.4, 0.8, 3, 1, 0.8}, 79.4, 22, 87, 20.6, 92.6, 27, 91.4, 37, 87.6, 46, 88.6, 54, 93.4, 57)
	// Bare paper between the fore legs.
	p.area("legs", 53.4, 22, 54.4, 34, 53.8, 48, 52.9, 34)
	return p
}

// wind is a pond with reeds in the wind: one drawing, three layers of centre
// lines.
func wind() *picture {
	p := onSheet("08-open-lines")
	for row := range 5 {
		y, x := step(15, 4.4, row), step(14, 3, row%2)
		for i := range 8 {
			long := wander(22, 6, 20*row+i+3)
			if x+long > 126 {
				long = 134 - x
			}
			if long < 9 {
				break
			}
			p.line("waves", x, y, x+mul(long, 0.25), y+1.1, x+mul(long, 0.5), y, x+mul(long, 0.75), y-1, x+long, y)
			x += long + 4
		}
	}
	for i := range 15 {
		x, high, bow := wander(step(22, 3.6, i), 1.2, i+200), wander(34, 12, i+230), wander(9, 4, i+260)
		foot := wander(41, 2, i+300)
		p.line("reeds", x, foot, x+mul(bow, 0.12), foot+mul(high, 0.45), x+mul(bow, 0.45), foot+mul(high, 0.8), x+mul(bow, 1.2), foot+high)
	}
	// Gusts: a long breath that curls up at its end.
	gust := func(c pt, radius, back float64, from, to int) {
		l := brushwork.Points(c.X-back, c.Y+radius-3, c.X-mul(back, 0.6), c.Y+radius-0.8, c.X-mul(back, 0.25), c.Y+radius)
		for deg := from; deg >= to; deg -= 30 {
			r := mul(radius, 1-mul(0.55, float64(from-deg)/float64(from-to)))
			l = append(l, c.Plus(brushwork.Turned(xy(r, 0), float64(deg))))
		}
		p.open("gusts", smooth(l, false))
	}
	gust(xy(119, 80), 8.4, 60, 90, -240)
	gust(xy(110, 64), 5.6, 40, 90, -210)
	return p
}

// moon is the pale layer of the night.
func moon() *picture {
	p := drawn("09-moon", "mm", xy(5, 5), false)
	p.mark(12, 12, 5)
	p.disc("moon", 66, 112, 15)
	for i := range 8 {
		x, y := wander(step(14, 9, i), 2, i+2), wander(step(41, 3.4, i%3), 0.6, i+12)
		p.stroke("haze", profile{0, 0.5, 0.5, 2, 1, 0.5}, x, y, x+6, y+0.7, x+14, y)
	}
	return p
}

// swallow is the dark layer of the night.
func swallow() *picture {
	p := drawn("09-swallow", "mm", xy(-52.5, -74), false)
	p.mark(12, 12, 5)
	// Body, bill, wings, forked tail.
	p.stroke("bird", profile{0, 1.2, 0.16, 3, 0.34, 2.8, 0.6, 3.6, 1, 0.8}, 27, 87.4, 34, 88, 46, 84, 62, 74)
	p.stroke("bird", leaf(0.8), 23.4, 86.6, 24.8, 87, 26.4, 87.3)
	for i := range 3 {
		k := float64(i)
		p.stroke("bird", profile{0, 1, 0.35, 3.2 - mul(0.4, k), 1, 0.4}, 40+mul(4.6, k), 88.6-mul(1.8, k), 49+mul(4.4, k), 99-mul(4.4, k), 64+mul(1.4, k), 106-mul(5.6, k), 84-mul(5.6, k), 106-mul(5, k))
		p.stroke("bird", profile{0, 1, 0.35, 2.8 - mul(0.4, k), 1, 0.4}, 39.4+mul(3.6, k), 84-mul(1.9, k), 35.6+mul(4.4, k), 71-mul(0.4, k), 27+mul(5.6, k), 61.4+mul(0.4, k), 15+mul(7, k), 55.4-mul(0.2, k))
	}
	p.stroke("bird", profile{0, 0.7, 0.3, 1.8, 1, 0.4}, 63.6, 74.4, 74, 70, 88, 70.6)
	p.stroke("bird", profile{0, 0.7, 0.3, 1.8, 1, 0.4}, 62, 71.6, 69, 64, 75, 53)
	// A village asleep.
	x := 21.0
	for i := range 5 {
		wide, high := wander(10.6, 1.8, i+70), wander(6, 1.6, i+90)
		wall := wander(22, 1.6, i+50)
		p.stroke("roofs", even(1.4), x-0.8, wall, x+wide/2-0.6, wall+high)
		p.stroke("roofs", even(1.4), x+wide/2+1, wall+high-0.2, x+wide+0.8, wall)
		p.stroke("walls", even(0.7), x+0.6, 13, x+0.6, wall-1.8)
		p.stroke("walls", even(0.7), x+wide-0.6, 13, x+wide-0.6, wall-1.8)
		p.shape("doors", x+wide/2-1, 12, x+wide/2+1, 12, x+wide/2+1, 16, x+wide/2-1, 16)
		if i%2 == 0 {
			p.disc("doors", x+wide/2, wall+0.4, 0.9)
		}
		x += wide + 3.4
	}
	p.stroke("walls", leaf(1.2), 18, 10.4, 50, 10, 94, 10.6)
	return p
}

// screen is a window screen of square spirals before hills and a low sun: lines
// that are nothing but corners, and a ring.
func screen() *picture {
	p := onSheet("10-trailing-tip")
	spiral := brushwork.Points(0, 0, 11, 0, 11, 11, 2.5, 11, 2.5, 3, 8, 3, 8, 8, 5.2, 8)
	for _, y := range []float64{14, 80} {
		for i := range 9 {
			var l []pt
			for _, q := range spiral {
				if i%2 == 1 {
					q.X = 11 - q.X
				}
				if y < 50 {
					q.Y = 11 - q.Y
				}
				l = append(l, q.Plus(xy(step(13.6, 13.8, i), y)))
			}
			p.bent("screen", l)
		}
	}
	p.bent("hills", brushwork.Points(14, 42, 27, 58, 34, 51, 51, 71, 63, 55, 70, 61, 92, 37, 101, 45, 110, 38, 133, 52))
	p.bent("hills", brushwork.Points(14, 32, 30, 43, 41, 36, 58, 52, 80, 31, 93, 38.6, 116, 30, 133, 40))
	var ring []pt
	for i := range 72 {
		ring = append(ring, xy(108, 65).Plus(brushwork.Turned(xy(7, 0), step(95, -5, i))))
	}
	p.open("sun", ring)
	return p
}
