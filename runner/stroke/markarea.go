package stroke

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/runner/axis"
)

// markArea is the area of all discs along a path, in square grid steps. If the
// path crosses itself, the area there counts twice. If the width jumps, the
// narrower part counts from the edge of the larger disc.
func markArea(points []axis.Point, closed bool) float64 {
	sum := 0.0
	nan := [2]float64{math.NaN(), math.NaN()}
	part := stretch{ends: [2]joint{tip, tip}, slopes: nan}
	if closed {
		part.ends = [2]joint{meeting, meeting}
	}
	until := part.ends[1]
	finish := func(end joint) {
		part.ends[1] = end
		switch n := len(part.points); {
		case n == 1 && part.ends[0] == tip && end == tip:
			sum += mul(arith.Pi, mul(float64(part.points[0].R), float64(part.points[0].R)))
		case n > 1:
			sum += max(part.bare(0), 0)
		}
	}
	inside := axis.Point{R: -1} // the last point in the disc of the part's last
	for _, p := range points {
		for n := len(part.points); n > 0 && contains(p, part.points[n-1]); n = len(part.points) {
			b := part.points[n-1]
			if part.points = part.points[:n-1]; n == 1 {
				part.ends[0] = tip
				break
			}
			if a := part.points[n-2]; !contains(p, a) {
				part.points = append(part.points, exitPoint(p, b, a))
				finish(meeting)
				part = stretch{ends: [2]joint{tip, tip}, slopes: nan}
				break
			}
		}
		if n := len(part.points); n > 0 {
			last := part.points[n-1]
			if contains(last, p) {
				inside = p
				continue
			}
			if inside.R >= 0 {
				finish(tip)
				part = stretch{points: []axis.Point{exitPoint(last, inside, p)}, ends: [2]joint{meeting, tip}, slopes: nan}
			}
		}
		inside.R = -1
		part.points = append(part.points, p)
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

// exitPoint is where the straight path from a point inside the disc of p to one
// outside leaves the disc.
func exitPoint(p, from, to axis.Point) axis.Point {
	low, high := 0.0, 1.0
	for range 30 { // halvings: 2^-30 of any path is below a grid step
		if t := (low + high) / 2; contains(p, between(from, to, t)) {
			low = t
		} else {
			high = t
		}
	}
	return between(from, to, high)
}
