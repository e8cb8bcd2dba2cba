package stroke

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/axis"
)

// markArea is the area of all discs along a path, in square grid steps. Where
// the path crosses itself the area counts twice. Where the width jumps, the
// narrower part counts up to the edge of the larger disc.
func markArea(points []axis.Point, closed bool) float64 {
	sum := 0.0
	nan := [2]float64{math.NaN(), math.NaN()}
	piece := stretch{ends: [2]joint{tip, tip}, slopes: nan}
	if closed {
		piece.ends = [2]joint{meeting, meeting}
	}
	until := piece.ends[1]
	finish := func(end joint) {
		piece.ends[1] = end
		switch n := len(piece.points); {
		case n == 1 && piece.ends[0] == tip && end == tip:
			sum += mul(arith.Pi, mul(float64(piece.points[0].R), float64(piece.points[0].R)))
		case n > 1:
			sum += max(piece.bare(0), 0)
		}
	}
	inside := axis.Point{R: -1} // the last point in the disc of the piece's last
	for _, p := range points {
		for n := len(piece.points); n > 0 && contains(p, piece.points[n-1]); n = len(piece.points) {
			b := piece.points[n-1]
			if piece.points = piece.points[:n-1]; n == 1 {
				piece.ends[0] = tip
				break
			}
			if a := piece.points[n-2]; !contains(p, a) {
				piece.points = append(piece.points, exitPoint(p, b, a))
				finish(meeting)
				piece = stretch{ends: [2]joint{tip, tip}, slopes: nan}
				break
			}
		}
		if n := len(piece.points); n > 0 {
			last := piece.points[n-1]
			if contains(last, p) {
				inside = p
				continue
			}
			if inside.R >= 0 {
				finish(tip)
				piece = stretch{points: []axis.Point{exitPoint(last, inside, p)}, ends: [2]joint{meeting, tip}, slopes: nan}
			}
		}
		inside.R = -1
		piece.points = append(piece.points, p)
	}
	if inside.R >= 0 {
		until = tip
	}
	finish(until)
	return sum
}

// contains reports whether the disc of p covers the width of a mark at q.
func contains(p, q axis.Point) bool {
	d, r, big := distance(p, q), float64(q.R), float64(p.R)
	return r < big && mul(d, d)+mul(r, r) <= mul(big, big)
}

// exitPoint is where the path from a point inside the disc of p to one outside
// leaves the disc.
func exitPoint(p, from, to axis.Point) axis.Point {
	low, high := 0.0, 1.0
	for range 30 {
		if t := (low + high) / 2; contains(p, between(from, to, t)) {
			low = t
		} else {
			high = t
		}
	}
	return between(from, to, high)
}
