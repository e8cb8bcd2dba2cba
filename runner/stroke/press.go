package stroke

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// pressProfile turns widths along a path into presses of one brush.
type pressProfile struct {
	curve             *brush.Curve
	narrowest, widest float64 // mm
	within, width     float64 // mm: tolerances of the simplified path
}

// point returns p with the press whose mark has the radius of p, or the nearest
// radius that the brush can paint.
func (pp *pressProfile) point(p axis.Point) Point {
	w := min(max(2*float64(p.R)/plane.PerMM, pp.narrowest), pp.widest)
	press, err := pp.curve.PressFor(w)
	if err != nil { // w is within the curve's range
		panic(err)
	}
	return Point{X: p.X, Y: p.Y, Press: press, Width: w}
}

// path returns the points of an axis with their presses. Between two points the
// press changes evenly and the width need not, so points are added where that
// shows; then those that are not needed are left out.
func (pp *pressProfile) path(points []axis.Point) []Point {
	if len(points) == 0 {
		return nil
	}
	out := make([]Point, 1, len(points))
	out[0] = pp.point(points[0])
	for i := 1; i < len(points); i++ {
		out = pp.refine(out, points[i-1], points[i], pp.point(points[i]), 12)
	}
	out = simplify(out, pp.within, pp.width, pp.curve)
	if len(out) == 2 && out[0] == out[1] {
		out = out[:1] // a ring so small that a dab will do
	}
	return out
}

// refine appends the points after a, which is the last in the list, up to b.
// depth is how often the stretch may still be halved.
func (pp *pressProfile) refine(out []Point, a, b axis.Point, to Point, depth int) []Point {
	from := out[len(out)-1]
	if depth > 0 && distance(a, b) > 4 {
		middle := between(a, b, 0.5)
		if pp.bends(from, to, a, b) {
			out = pp.refine(out, a, middle, pp.point(middle), depth-1)
			return pp.refine(out, middle, b, to, depth-1)
		}
	}
	if from == to {
		return out
	}
	return append(out, to)
}

// bends reports whether the mark between two points differs from the width
// that was drawn, which changes evenly, by more than a third of the tolerance.
func (pp *pressProfile) bends(from, to Point, a, b axis.Point) bool {
	for _, t := range [...]float64{0.25, 0.5, 0.75} {
		drawn := 2 * vector.Lerp(float64(a.R), float64(b.R), t) / plane.PerMM
		drawn = min(max(drawn, pp.narrowest), pp.widest)
		if math.Abs(drawn-widthBetween(from, to, t, pp.curve)) > pp.width/3 {
			return true
		}
	}
	return false
}
