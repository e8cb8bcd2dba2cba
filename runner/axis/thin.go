package axis

import (
	"math"

	"mahlstick/runner/vector"
)

// thinError bounds, in grid steps, how far a point that is left out may lie from the
// chord that replaces it, in the plane and in radius.
const thinError = 3.0

// thin removes, in place, points of a run that are close enough to the chords between
// the others. Long runs are halved first, so that the work is proportional to their
// length.
func (tr *tracer) thin(points []Point) []Point {
	stays := tr.simplifier.Stays(len(points), func(from, to int) int {
		if to-from > 1024 {
			return (from + to) / 2
		}
		return farthest(points, from, to)
	})
	out := points[:0]
	for i, p := range points {
		if stays[i] {
			out = append(out, p)
		}
	}
	return out
}

// farthest is the point between two others that lies farthest from their chord, or -1
// if none is farther than thinError. A run that comes back to its start always keeps a
// point between.
func farthest(points []Point, from, to int) int {
	a, b := points[from], points[to]
	worst, at := thinError, -1
	if a == b {
		worst = 0
	}
	start, end := a.Plane().XY(), b.Plane().XY()
	dr := float64(b.R) - float64(a.R)
	for i := from + 1; i < to; i++ {
		p := points[i]
		way, t := vector.ToSegment(p.Plane().XY(), start, end)
		r := math.Abs(float64(p.R) - float64(a.R) - float64(t*dr))
		if off := math.Max(r, math.Sqrt(way.Dot(way))); off > worst {
			worst, at = off, i
		}
	}
	return at
}
