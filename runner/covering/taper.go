package covering

import (
	"slices"

	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// drawnRings is like lineRings, with the ends and corners that the drawing shows.
func drawnRings(points []plane.Point, closed bool, widths []float64, look contour.Look) [][]plane.Point {
	if look.Round() || len(points) < 2 || slices.Min(widths) != slices.Max(widths) {
		return lineRings(points, closed, widths)
	}
	exact := make([]vector.XY, len(points))
	for i, p := range points {
		x, y := p.MM()
		exact[i] = vector.XY{X: x, Y: y}
	}
	rings, ok := cutting.AsDrawn(exact, widths[0], closed, look)
	if !ok {
		return lineRings(points, closed, widths)
	}
	out := make([][]plane.Point, len(rings))
	for i, ring := range rings {
		for _, p := range ring {
			out[i] = append(out[i], plane.At(p.X, p.Y))
		}
	}
	return out
}

// lineRings gives rings that wind around a line with widths (mm, one a point) and
// round ends, in the manner of grown.
func lineRings(points []plane.Point, closed bool, widths []float64) [][]plane.Point {
	if !slices.ContainsFunc(widths, func(w float64) bool { return w != widths[0] }) {
		return band(points, closed, float64(widths[0]*plane.PerMM))
	}
	var out [][]plane.Point
	for i := range points {
		k := i + 1
		if k == len(points) {
			if !closed {
				break
			}
			k = 0
		}
		hull := append(disc(points[i], float64(widths[i]*plane.PerMM/2)), disc(points[k], float64(widths[k]*plane.PerMM/2))...)
		if ring := convexHull(hull); len(ring) > 2 {
			out = append(out, ring)
		}
	}
	return out
}

func disc(p plane.Point, radius float64) []plane.Point {
	right, left := vector.XY{X: 1}, vector.XY{X: -1}
	out := append(arc([]plane.Point{offset(p, right, radius)}, p, right, left, radius), offset(p, left, radius))
	return arc(out, p, left, right, radius)
}

// convexHull is the smallest convex ring around points, counter-clockwise.
//
// Source: A. M. Andrew, "Another efficient algorithm for convex hulls in two
// dimensions", Information Processing Letters 9, 1979, 216-219.
func convexHull(points []plane.Point) []plane.Point {
	slices.SortFunc(points, plane.Point.Compare)
	points = slices.Compact(points)
	var ring []plane.Point
	chain := func(least int, p plane.Point) {
		for len(ring) > least && plane.Turn(ring[len(ring)-2], ring[len(ring)-1], p) <= 0 {
			ring = ring[:len(ring)-1]
		}
		ring = append(ring, p)
	}
	for _, p := range points {
		chain(1, p)
	}
	lower := len(ring)
	for i := len(points) - 2; i >= 0; i-- {
		chain(lower, points[i])
	}
	return ring[:max(len(ring)-1, 0)]
}
