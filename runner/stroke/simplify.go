package stroke

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
)

// simplify leaves out points of a path so that every one left out lies within
// plane mm of the path that remains, and is as wide to within width mm as the
// mark there, the press running evenly between the points that remain. The
// ends are kept; points are only left out, never moved; a second run changes
// nothing.
//
// Source: U. Ramer, Computer Graphics and Image Processing 1 (1972) 244-256;
// D. H. Douglas, T. K. Peucker, The Canadian Cartographer 10 (1973) 112-122.
func simplify(points []Point, within, width float64, curve *brush.Curve) []Point {
	if len(points) < 3 {
		return points
	}
	return keep(points, func(i, from, to int) float64 {
		p, a, b := points[i], points[from], points[to]
		off, t := foot(plane.Point{X: p.X, Y: p.Y}, plane.Point{X: a.X, Y: a.Y}, plane.Point{X: b.X, Y: b.Y})
		return max(off/plane.PerMM/within, math.Abs(p.Width-widthBetween(a, b, t, curve))/width)
	})
}

// thinOut is simplify for a ring: the points left out lie within so many grid
// steps of the ring that remains.
func thinOut(ring []plane.Point, within float64) []plane.Point {
	n := len(ring)
	closed := append(ring[:n:n], ring[0])
	out := keep(closed, func(i, from, to int) float64 {
		off, _ := foot(closed[i], closed[from], closed[to])
		return off / within
	})
	return out[:len(out)-1]
}

// keep leaves out those points that deviate by no more than 1 from the
// stretch between two that stay.
func keep[P any](points []P, deviation func(i, from, to int) float64) []P {
	n := len(points)
	stays := make([]bool, n)
	stays[0], stays[n-1] = true, true
	type span struct{ from, to int }
	stack := []span{{0, n - 1}}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		worst, at := 1.0, -1
		for i := s.from + 1; i < s.to; i++ {
			if d := deviation(i, s.from, s.to); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			stays[at] = true
			stack = append(stack, span{s.from, at}, span{at, s.to})
		}
	}
	out := make([]P, 0, n)
	for i, p := range points {
		if stays[i] {
			out = append(out, p)
		}
	}
	return out
}

// foot gives the distance of p from the stretch from a to b, in grid steps,
// and the share of the stretch before the nearest point.
func foot(p, a, b plane.Point) (off, share float64) {
	dx, dy := float64(b.X)-float64(a.X), float64(b.Y)-float64(a.Y)
	px, py := float64(p.X)-float64(a.X), float64(p.Y)-float64(a.Y)
	if l := mul(dx, dx) + mul(dy, dy); l > 0 {
		share = min(max((mul(px, dx)+mul(py, dy))/l, 0), 1)
	}
	ex, ey := px-mul(share, dx), py-mul(share, dy)
	return math.Sqrt(mul(ex, ex) + mul(ey, ey)), share
}

// widthBetween is the width of the mark a share t of the way from a to b, the
// press running evenly.
func widthBetween(a, b Point, t float64, curve *brush.Curve) float64 {
	w, err := curve.WidthAt(a.Press + mul(t, b.Press-a.Press))
	if err != nil { // out of range by a rounding
		return a.Width + mul(t, b.Width-a.Width)
	}
	return w
}
