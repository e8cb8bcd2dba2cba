package stroke

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// simplify leaves out points of a path. Each of them is at most within mm from
// the path that remains, and its width differs by at most width mm from the
// mark there; the press changes evenly between the points that remain. The ends
// are kept; points are only left out, never moved; a second run changes
// nothing.
func simplify(points []Point, within, width float64, curve *brush.Curve) []Point {
	if len(points) < 3 {
		return points
	}
	return vector.Simplify(points, 1, func(i, from, to int) float64 {
		p, a, b := points[i], points[from], points[to]
		way, t := vector.ToSegment(p.xy(), a.xy(), b.xy())
		return max(way.Length()/plane.PerMM/within, math.Abs(p.Width-widthBetween(a, b, t, curve))/width)
	})
}

// thinOut leaves out points of a ring that are at most the given number of grid
// steps from the ring that remains.
func thinOut(ring []plane.Point, within float64) []plane.Point {
	n := len(ring)
	closed := append(ring[:n:n], ring[0])
	out := vector.Simplify(closed, 1, func(i, from, to int) float64 {
		way, _ := vector.ToSegment(closed[i].XY(), closed[from].XY(), closed[to].XY())
		return way.Length() / within
	})
	return out[:len(out)-1]
}

// widthBetween is the width of the mark a share t of the way from a to b, the
// press running evenly.
func widthBetween(a, b Point, t float64, curve *brush.Curve) float64 {
	w, err := curve.WidthAt(vector.Lerp(a.Press, b.Press, t))
	if err != nil { // out of range by rounding
		return vector.Lerp(a.Width, b.Width, t)
	}
	return w
}
