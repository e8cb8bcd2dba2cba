package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
	"sort"
)

// profile is the swelling of a stroke: pairs of a share of its length (0 to 1)
// and a width (mm), with a smooth way between them.
type profile []float64

func (w profile) width(k float64) float64 {
	n := len(w) / 2
	i := sort.Search(n, func(i int) bool { return w[2*i] >= k })
	switch i {
	case 0:
		return w[1]
	case n:
		return w[2*n-1]
	}
	t := (k - w[2*i-2]) / (w[2*i] - w[2*i-2])
	return vector.Lerp(w[2*i-1], w[2*i+1], mul(mul(t, t), 3-mul(2, t)))
}

// even is a stroke of one width.
func even(w float64) profile { return profile{0, w, 1, w} }

// leaf swells in the middle and is thin at both ends.
func leaf(w float64) profile { return profile{0, 0.4, 0.42, w, 1, 0.4} }

// comma is pressed down at once and lifted slowly.
func comma(w float64) profile {
	return profile{0, mul(w, 0.5), 0.25, w, 1, 0.4}
}

// steepest is the half width that a stroke gains in a mm of its way.
const steepest = 0.5

// outline is the line round a stroke: the envelope of the circles along its
// centre line, with round ends. It runs counter-clockwise.
func outline(centre []pt, w profile) []corner {
	s := lengths(centre)
	n := len(centre) - 1
	long := s[n]
	r := make([]float64, n+1)
	for i := range r {
		r[i] = w.width(s[i]/long) / 2
	}
	r = brushwork.Soften(r, func(i int) float64 { return s[i] - s[i-1] }, steepest, 8)
	var sides [2][]pt // right, left
	for i, c := range centre {
		a, b := max(0, i-1), min(n, i+1)
		t := brushwork.Unit(centre[b].Minus(centre[a]))
		g := (r[b] - r[a]) / (s[b] - s[a])
		for k, side := range []float64{-1, 1} {
			out := brushwork.Outward(t, g, side)
			sides[k] = append(sides[k], c.Plus(out.Times(r[i])))
		}
	}
	right, left := sides[0], sides[1]
	for i := range len(left) / 2 {
		left[i], left[n-i] = left[n-i], left[i]
	}
	cs := append(arcs(right), corner{right[n], round(right[n], left[0], centre[n])})
	return append(append(cs, arcs(left)...), corner{left[n], round(left[n], right[0], centre[0])})
}

// round is the bulge of the arc about c, counter-clockwise from a to b.
func round(a, b, c pt) float64 {
	u, v := a.Minus(c), b.Minus(c)
	half := brushwork.TanHalf(u.Dot(v) / mul(u.Length(), v.Length()))
	if half > 1e6 {
		return 1 // half a turn
	}
	quarter := brushwork.TanQuarter(half)
	if u.Cross(v) < 0 {
		return 1 / quarter
	}
	return quarter
}
