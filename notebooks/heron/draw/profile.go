package main

import "math"

// profile is the swelling of a stroke: pairs of a share of its length (0 to
// 1) and a width (mm). Between them the width goes smoothly, without
// overshooting.
type profile []float64

// width at a share k of the length. The slopes are Fritsch and Butland's
// harmonic means (SIAM J. Sci. Stat. Comput. 5(2), 1984, 300-304).
func (w profile) width(k float64) float64 {
	n := len(w) / 2
	if k <= w[0] {
		return w[1]
	}
	if k >= w[2*n-2] {
		return w[2*n-1]
	}
	i := 1
	for w[2*i] < k {
		i++
	}
	chord := func(i int) float64 { return (w[2*i+3] - w[2*i+1]) / (w[2*i+2] - w[2*i]) }
	slope := func(i int) float64 {
		if i == 0 {
			return chord(0)
		}
		if i == n-1 {
			return chord(n - 2)
		}
		a, b := chord(i-1), chord(i)
		if mul(a, b) <= 0 {
			return 0
		}
		lo, hi := math.Min(math.Abs(a), math.Abs(b)), math.Max(math.Abs(a), math.Abs(b))
		return math.Copysign(mul(mul(3, lo), hi)/(hi+mul(2, lo)), a)
	}
	h := w[2*i] - w[2*i-2]
	t := (k - w[2*i-2]) / h
	t2 := mul(t, t)
	t3 := mul(t2, t)
	return mul(mul(2, t3)-mul(3, t2)+1, w[2*i-1]) + mul(mul(t3-mul(2, t2)+t, h), slope(i-1)) +
		mul(mul(3, t2)-mul(2, t3), w[2*i+1]) + mul(mul(t3-t2, h), slope(i))
}

// How a brush swells, for widths in mm.

// leaf swells in the middle and is pointed at both ends.
func leaf(w float64) profile {
	return profile{0, 0.3, 0.16, mul(w, 0.55), 0.45, w, 0.78, mul(w, 0.6), 1, 0.3}
}

// drop begins as a hair and ends round: a feather seen from its root.
func drop(w float64) profile {
	return profile{0, 0.3, 0.3, mul(w, 0.5), 0.68, w, 0.9, mul(w, 0.86), 1, mul(w, 0.55)}
}

// spindle is a spot pointed at both ends.
func spindle(w float64) profile {
	return profile{0, 0.3, 0.25, mul(w, 0.66), 0.5, w, 0.75, mul(w, 0.66), 1, 0.3}
}

// wedge is pointed at both ends, and fullest before its middle.
func wedge(w float64) profile {
	return profile{0, 0.3, 0.2, mul(w, 0.6), 0.42, w, 0.66, mul(w, 0.8), 1, 0.3}
}

// sword stands broad in the water and rises to a long point.
func sword(w float64) profile {
	return profile{0, mul(w, 0.8), 0.2, mul(w, 0.88), 0.42, w, 0.72, mul(w, 0.68), 1, 0.4}
}
