package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
)

// Postcards are A6: 148 mm by 105 mm where they lie, 105 mm by 148 mm where
// they stand.

func pictures() []*picture {
	return []*picture{sprig(), fish(), kite(), gate(), sail(), sea(), petals(), stems(), cat(), wind(), moon(), swallow(), screen(), sign(), barley(), feather(), pears()}
}

// step is the i-th number from a on, d apart; wander is a number near a, never
// more than d away.
func step(a, d float64, i int) float64   { return a + mul(d, float64(i)) }
func wander(a, d float64, n int) float64 { return a + mul(d, brushwork.Hand(1, n)) }

// sprig is a twig with its leaves.
func sprig() *picture {
	p := onSheet("01-first-stroke")
	p.stroke("twig", profile{0, 1.3, 0.5, 1, 1, 0.5}, 16, 34, 50, 40, 88, 52, 130, 78)
	leaves := []struct{ x, y, turn, long, w, bow float64 }{
		{28, 35.6, 52, 21, 3.1, -2}, {36, 37.2, -38, 22, 3.3, 2}, {48, 39.6, 60, 24, 3.6, -2.4}, {58, 41.8, -30, 24, 3.6, 2.2},
		{69, 45, 64, 25, 3.7, -2.4}, {79, 48.6, -22, 25, 3.7, 2.2}, {90, 53, 70, 23, 3.5, -2}, {100, 58.2, -10, 23, 3.5, 2},
		{110, 64, 78, 20, 3.1, -1.6}, {118, 69, 4, 18, 2.9, 1.4},
	}
	for _, l := range leaves {
		way := brushwork.Turned(xy(1, 0), l.turn)
		a := xy(l.x, l.y).Plus(way.Times(1.6))
		p.along("leaves", leaf(l.w), []pt{a, a.Plus(way.Times(l.long / 2)).Plus(way.Left().Times(l.bow)), a.Plus(way.Times(l.long))})
	}
	p.disc("fruit", 51.4, 36.4, 1.7)
	p.disc("fruit", 73.4, 41.6, 1.7)
	p.disc("fruit", 83.4, 54.6, 1.7)
	p.disc("fruit", 41.6, 42, 1.5)
	return p
}

// fish is a fish that breathes.
func fish() *picture {
	p := onSheet("02-measured-brush")
	p.stroke("body", profile{0, 0.5, 0.35, 2.4, 0.8, 1.4, 1, 0.6}, 22, 51, 36, 63, 58, 70, 82, 66, 108, 53)
	p.stroke("body", profile{0, 0.5, 0.45, 1.8, 0.85, 1.1, 1, 0.6}, 22, 49.4, 38, 39.4, 60, 35.6, 84, 39.6, 108, 50)
	p.stroke("tail", profile{0, 0.8, 0.6, 2.3, 1, 0.5}, 110, 53, 119, 61, 130, 73)
	p.stroke("tail", profile{0, 0.8, 0.6, 2.3, 1, 0.5}, 110, 50.2, 119, 42, 130, 31)
	for i := range 4 {
		y := step(61, -6.2, i)
		p.stroke("tail", leaf(1.2), wander(115.6, 0.3, i), vector.Lerp(51.6, y, 0.42), 121, vector.Lerp(51.6, y, 0.75), wander(126.4, 0.6, i+9), vector.Lerp(51.6, y, 1.2))
	}
	// Gill, eye, mouth.
	p.stroke("head", comma(1.6), 44.6, 63.4, 48.6, 54, 45.6, 42.6)
	p.stroke("head", leaf(1), 41.6, 60.4, 44.8, 53.6, 42.6, 46)
	p.ring("eye", 34.4, 54.6, 2.6, 0.9)
	p.disc("eye", 34.1, 54.8, 0.8)
	p.stroke("head", leaf(0.8), 24.2, 49.9, 28, 49.6, 31, 48.2)
	// Fins.
	for i := range 7 {
		x, y := step(52, 5.4, i), step(71.4, -0.5, i)-mul(0.06, float64(i*i))
		p.stroke("fins", comma(step(1.5, -0.08, i)), x, y, x+4.4, step(76, -0.9, i), x+11, step(80, -1.4, i))
	}
	for i := range 4 {
		x := step(58, 4.4, i)
		p.stroke("fins", comma(1.3), x, step(33.2, 0.3, i), x+3.4, 29.4, x+8.6, step(25.6, 0.8, i))
	}
	for i := range 3 {
		p.stroke("fins", leaf(1.3), 52, step(50, -2.6, i), 58.6, step(48.6, -4, i), 65, step(48.6, -5.2, i))
	}
	// Scales, in rows that lie like tiles.
	for row, n := range []int{5, 6, 5, 5} {
		for i := range n {
			x, y := step(57, 6.6, i)+mul(3.3, float64(row%2)), step(61, -5.4, row)-mul(0.3, float64(i))
			if x < 67 && row > 1 {
				continue
			}
			p.stroke("scales", leaf(1), x, y+2, x+1.9, y, x, y-2)
		}
	}
	p.ring("water", 15.6, 62, 2, 0.6)
	p.ring("water", 19.4, 71, 1.4, 0.5)
	p.ring("water", 16, 78.4, 2.6, 0.6)
	p.stroke("water", leaf(1), 20, 20, 42, 22.4, 64, 20, 86, 22)
	p.stroke("water", leaf(1), 74, 16.4, 94, 18.6, 112, 16.6, 128, 18.4)
	return p
}

// kite is a kite on its line.
func kite() *picture {
	p := onSheet("03-formulas")
	top, left, right, foot := xy(58, 132), xy(33, 104), xy(80, 110), xy(46, 66)
	for _, l := range [][2]pt{{top, left}, {top, right}, {left, foot}, {right, foot}} {
		way := brushwork.Unit(l[1].Minus(l[0])).Times(1.2)
		p.along("kite", profile{0, 0.8, 0.4, 2.6, 1, 0.8}, []pt{l[0].Plus(way), l[1].Minus(way)})
	}
	middle := xy(54.1, 107.3)
	for _, l := range [][2]pt{{top, middle}, {middle, foot}, {left, middle}, {middle, right}} {
		p.along("spars", leaf(1.1), []pt{l[0].Toward(l[1], 0.07), l[1].Toward(l[0], 0.07)})
	}
	// The tail and its bows.
	p.stroke("tail", leaf(0.9), 45.4, 63, 38, 54, 46, 45, 40, 35, 48, 26, 44, 18)
	for _, b := range []struct{ x, y, turn float64 }{{39.4, 54.4, 30}, {45.4, 45, 145}, {41, 35.4, 30}, {47.4, 26, 140}} {
		way := brushwork.Turned(xy(1, 0), b.turn)
		for _, side := range []float64{-1, 1} {
			a := xy(b.x, b.y).Plus(way.Times(mul(0.9, side)))
			p.along("bows", profile{0, 0.6, 0.75, 2.6, 1, 1.6}, []pt{a, a.Plus(way.Times(mul(6, side)))})
		}
	}
	// The line to the hand, clouds, a bird.
	p.stroke("line", even(0.5), 64.6, 87, 72, 72, 81, 46, 92, 18)
	p.stroke("sky", leaf(1.2), 14, 92, 18, 96.4, 24, 97, 28, 93.6)
	p.stroke("sky", leaf(1.2), 13, 88.6, 20, 87.6, 29.6, 89)
	p.stroke("sky", leaf(1.2), 75, 88.6, 80.4, 92.6, 86, 92, 91, 88.4)
	p.stroke("sky", leaf(1.2), 73.4, 85.4, 82, 84.4, 93, 85.8)
	p.stroke("sky", leaf(0.9), 84, 126, 87.4, 128.4, 89, 125.4)
	p.stroke("sky", leaf(0.9), 89.4, 125.4, 91.4, 128.6, 95, 126.6)
	return p
}

// pales are how wide (mm) the pales of the gate are.
var pales = []float64{2, 1.6, 1.3, 1, 0.8, 0.6, 0.45, 0.3, 0.2, 0.12}

// gate is a garden gate whose pales grow thinner.
func gate() *picture {
	p := onSheet("04-uncertainty")
	for _, x := range []float64{22, 126} {
		p.stroke("posts", even(3), x, 18, x, 74)
		p.disc("posts", x, 80, 3.2)
	}
	for i, wide := range pales {
		x := step(33, 9.1, i)
		p.stroke("pales", even(wide), x, 20, x, 62+mul(0.0052, mul(x-74, x-74)))
	}
	// The rails stop short of what crosses them.
	for _, y := range []float64{30, 54} {
		left := 24.6
		for i, wide := range pales {
			x := step(33, 9.1, i)
			p.stroke("rails", even(1.2), left, y, x-wide/2-1.1, y)
			left = x + wide/2 + 1.1
		}
		p.stroke("rails", even(1.2), left, y, 123.4, y)
	}
	for i := range 26 {
		x, lean := wander(step(14, 4.8, i), 1, i), mul(2.4, brushwork.Hand(1, i+40))
		p.stroke("grass", profile{0, 0.9, 0.3, 1.1, 1, 0.5}, x, 9.4, x+lean/3, 12.6, x+lean, wander(14.6, 1.2, i+80))
	}
	p.stroke("hills", leaf(1.4), 34, 88, 44, 92, 56, 92.6, 66, 89.4)
	p.stroke("hills", leaf(1.4), 96, 92, 106, 95.4, 118, 93.4)
	return p
}

// sail is the pale layer of the boat: what the wind and the sun touch. It was
// drawn round an origin of its own.
func sail() *picture {
	p := drawn("05-sails", "mm", xy(-74, -52.5), false)
	p.mark(14, 14, 6)
	for i := range 6 { // the main sail, in strokes from the boom to the top
		k := float64(i) / 5
		p.stroke("main", profile{0, vector.Lerp(2, 2.8, k), 0.45, vector.Lerp(1.6, 2.6, k), 1, 0.5}, vector.Lerp(79, 110, k), 40.6, vector.Lerp(78.9, 101, k), 56+mul(4, k), vector.Lerp(78.8, 92, k), 72+mul(3, k), vector.Lerp(78.6, 84.4, k), vector.Lerp(83, 86, k))
	}
	for i := range 5 { // the fore sail
		k := float64(i) / 4
		p.stroke("fore", profile{0, vector.Lerp(1.6, 2.4, k), 0.45, vector.Lerp(1.4, 2.2, k), 1, 0.5}, vector.Lerp(70.6, 47, k), 40, vector.Lerp(71.2, 57.4, k), 54, vector.Lerp(71.6, 63.4, k), 66, vector.Lerp(72, 67.6, k), vector.Lerp(75, 78, k))
	}
	c := xy(122, 80)
	p.disc("sun", c.X, c.Y, 7)
	for i := range 12 {
		way := brushwork.Turned(xy(0, 1), float64(30*i))
		p.along("sun", comma(1.6), []pt{c.Plus(way.Times(9.6)), c.Plus(way.Times(wander(13, 0.8, i)))})
	}
	for i := range 5 {
		y := step(26, -3.4, i)
		p.stroke("light", leaf(2), wander(step(114, 1.6, i), 1, i), y, 122, y+0.6, wander(132, 2, i+7), y)
	}
	return p
}

// sea is the dark layer: hull, mast and water. Its file is in centimetres and
// does not say so.
func sea() *picture {
	p := drawn("05-sea", "cm", xy(20, 30), true)
	p.mark(14, 14, 6)
	p.stroke("boat", profile{0, 0.8, 0.4, 1.4, 1, 0.6}, 74.8, 36.6, 74.8, 60, 75.2, 90)
	p.stroke("boat", profile{0, 0.5, 0.3, 1.8, 1, 0.4}, 76.4, 89.4, 80.6, 90, 88, 87.4)
	for i := range 3 {
		p.stroke("boat", profile{0, 0.6, 0.35, 2.2, 0.7, 2.2, 1, 0.6}, step(44, 4, i), step(35, -2.7, i), 76, step(33, -2.6, i), step(113, -5.4, i), step(36, -2.8, i))
	}
	p.stroke("boat", even(0.6), 77.4, 38, 93, 37.4, 111.6, 38)
	// Where the light lies on the water the sea is not drawn.
	for row, y := range []float64{24, 20.4, 16.4, 12.4} {
		x := step(24, 3.4, row%3)
		for i := range 6 {
			long := wander(17, 4, 10*row+i)
			if end := step(110, 1.2, row); x+long > end-6 {
				long = end - x
			}
			if long < 6 {
				break
			}
			rise := wander(1, 0.5, 50*row+i)
			p.stroke("water", profile{0, 0.4, 0.4, 1.7 - mul(0.2, float64(row%2)), 1, 0.4}, x, y, x+mul(long, 0.3), y+rise, x+mul(long, 0.65), y-mul(rise, 0.6), x+long, y+mul(rise, 0.3))
			x += long + 2.6
		}
	}
	for i := range 2 {
		x, y := step(26, 12, i), step(80, -7, i)
		p.stroke("gulls", leaf(1), x, y, x+3.4, y+2.2, x+5.4, y-0.6)
		p.stroke("gulls", leaf(1), x+5.8, y-0.6, x+8, y+2.4, x+11.6, y+0.8)
	}
	return p
}
