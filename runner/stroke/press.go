package stroke

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// hand knows what a brush can do on a layer.
type hand struct {
	curve             *brush.Curve
	narrowest, widest float64 // mm
	within, width     float64 // mm: tolerances of the simplified path
}

// point presses the brush so that the mark has the radius of p, or the nearest
// one that it can have.
func (h *hand) point(p axis.Point) Point {
	w := min(max(2*float64(p.R)/plane.PerMM, h.narrowest), h.widest)
	press, err := h.curve.PressFor(w)
	if err != nil { // w is within the curve's range
		panic(err)
	}
	return Point{X: p.X, Y: p.Y, Press: press, Width: w}
}

// path presses the brush along an axis. Where the width would not grow evenly
// though the press does, points are put between; those that are not needed are
// left out.
func (h *hand) path(points []axis.Point) []Point {
	if len(points) == 0 {
		return nil
	}
	out := make([]Point, 1, len(points))
	out[0] = h.point(points[0])
	for i := 1; i < len(points); i++ {
		out = h.refine(out, points[i-1], points[i], h.point(points[i]), 12)
	}
	out = simplify(out, h.within, h.width, h.curve)
	if len(out) == 2 && out[0] == out[1] {
		out = out[:1] // a ring so small that a dab will do
	}
	return out
}

// refine adds the stretch from a, whose point stands last on the list, to b.
func (h *hand) refine(out []Point, a, b axis.Point, to Point, depth int) []Point {
	from := out[len(out)-1]
	if depth > 0 && distance(a, b) > 4 {
		middle := between(a, b, 0.5)
		if h.bends(from, to, a, b) {
			out = h.refine(out, a, middle, h.point(middle), depth-1)
			return h.refine(out, middle, b, to, depth-1)
		}
	}
	if from == to {
		return out
	}
	return append(out, to)
}

// bends says whether the mark between two points departs from the even width
// that was drawn by more than a third of the tolerance.
func (h *hand) bends(from, to Point, a, b axis.Point) bool {
	for _, t := range [...]float64{0.25, 0.5, 0.75} {
		drawn := 2 * vector.Lerp(float64(a.R), float64(b.R), t) / plane.PerMM
		drawn = min(max(drawn, h.narrowest), h.widest)
		if math.Abs(drawn-widthBetween(from, to, t, h.curve)) > h.width/3 {
			return true
		}
	}
	return false
}

// trim takes back the end of a path at a free tip that is thinner than the
// lightest mark, whose radius is given in grid steps: so far that the mark
// ends where the shape does, but no further than the path is too thin.
func trim(points []axis.Point, radius float64) []axis.Point {
	left := radius - float64(points[len(points)-1].R)
	for left > 0 && len(points) > 1 {
		n := len(points)
		tip, before := points[n-1], points[n-2]
		d, stop := distance(tip, before), 1.0
		if float64(before.R) > radius {
			stop = (radius - float64(tip.R)) / (float64(before.R) - float64(tip.R))
		}
		if mul(d, stop) > left || stop < 1 {
			return append(points[:n-1:n-1], between(tip, before, min(stop, left/d)))
		}
		left -= d
		points = points[:n-1]
	}
	return points
}
