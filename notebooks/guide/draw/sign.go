package main

import "mahlstick/notebooks/brushwork"

// sign is an invented character of eight strokes, drawn twice side by side as
// outlines with the heads and feet that a brush leaves, and in no particular
// order.
func sign() *picture {
	p := onSheet("11-whole-gestures")
	p.character("left", 0)
	p.character("right", 68)
	return p
}

func (p *picture) character(layer string, x float64) {
	p.headed(layer, profile{0, 2.4, 0.12, 1.9, 0.8, 1.8, 1, 2.8}, 1.2, -1, x+19, 76, x+42, 78.4, x+63, 78)
	p.headed(layer, profile{0, 2.8, 0.15, 2.2, 0.85, 2.2, 1, 3.2}, 1.4, -1, x+15, 17.4, x+40, 19.2, x+67, 18.6)
	p.headed(layer, profile{0, 1, 0.6, 2.8, 0.85, 3.8, 1, 1.4}, 0.5, 0.4, x+43, 55, x+48, 42, x+56, 31.4, x+66, 27)
	p.headed(layer, profile{0, 3.2, 0.15, 2.6, 0.9, 2.6, 1, 3}, -1.4, 0.8, x+29, 70, x+28.8, 52, x+29.4, 24)
	p.headed(layer, profile{0, 0.8, 0.7, 3.4, 1, 2.4}, 0.3, 0.5, x+37, 92, x+41, 89, x+44, 83.6)
	p.headed(layer, profile{0, 3, 0.3, 2.6, 1, 0.6}, -1.2, 0, x+45, 71, x+42, 55, x+36, 42, x+31.6, 36.4)
	p.headed(layer, profile{0, 2.2, 0.2, 1.8, 0.8, 1.8, 1, 2.6}, 1, -0.8, x+35, 61.6, x+46, 63, x+59, 62.6)
	p.headed(layer, profile{0, 0.8, 0.7, 3, 1, 1.8}, 0.3, 0.5, x+53, 73.4, x+56, 71, x+58, 67.2)
}

// headed is the outline of a stroke with straight ends. Its right side begins
// head mm behind its left side, and its left side ends foot mm beyond it.
func (p *picture) headed(layer string, w profile, head, foot float64, coordinates ...float64) {
	centre := smooth(brushwork.Points(coordinates...), false)
	s := lengths(centre)
	n := len(centre) - 1
	var right, left []pt
	for i, c := range centre {
		along := brushwork.Unit(centre[min(n, i+1)].Minus(centre[max(0, i-1)]))
		half := along.Left().Times(w.width(s[i]/s[n]) / 2)
		right, left = append(right, c.Minus(half)), append(left, c.Plus(half))
		// A slanted end only reaches out, so that the sides do not cross.
		if i == 0 {
			right[0] = right[0].Minus(along.Times(max(head, 0)))
			left[0] = left[0].Plus(along.Times(min(head, 0)))
		}
		if i == n {
			right[n] = right[n].Minus(along.Times(min(foot, 0)))
			left[n] = left[n].Plus(along.Times(max(foot, 0)))
		}
	}
	for i := range len(left) / 2 {
		left[i], left[n-i] = left[n-i], left[i]
	}
	cs := append(arcs(right), corner{right[n], 0})
	cs = append(append(cs, arcs(left)...), corner{left[n], 0})
	p.add(p.polyline(layer, cs, true))
}
