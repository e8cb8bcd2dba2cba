package stroke

import (
	"slices"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

// track is a polyline whose points are addressed by their distance from its
// start, in grid steps.
type track struct {
	points   []plane.Point
	index    []int     // of each point in the line as drawn
	from     []float64 // distance of each point from the start
	length   float64
	headings []heading
}

// newTrack returns nil for a line without points.
func newTrack(points []plane.Point) *track {
	t := &track{}
	for i, p := range points {
		if n := len(t.points); n == 0 || t.points[n-1] != p {
			if n > 0 {
				t.length += plane.Distance(p, t.points[n-1])
			}
			t.points, t.index, t.from = append(t.points, p), append(t.index, i), append(t.from, t.length)
		}
	}
	if len(t.points) == 0 {
		return nil
	}
	t.headings = t.findHeadings()
	return t
}

// locate finds the edge that the point at distance s is on, and the share of that
// edge before it.
func (t *track) locate(s float64) (i int, share float64) {
	lo, hi := 0, len(t.from)-1
	for hi-lo > 1 {
		if m := (lo + hi) / 2; t.from[m] <= s {
			lo = m
		} else {
			hi = m
		}
	}
	if len(t.from) < 2 {
		return 0, 0
	}
	return lo, min(max((s-t.from[lo])/(t.from[lo+1]-t.from[lo]), 0), 1)
}

func (t *track) at(s float64) axis.Point {
	i, share := t.locate(s)
	a := axis.Point{X: t.points[i].X, Y: t.points[i].Y}
	if share == 0 {
		return a
	}
	b := t.points[i+1]
	return between(a, axis.Point{X: b.X, Y: b.Y}, share)
}

// stops lists the distances of all points of the line, and those given.
func (t *track) stops(more ...float64) []float64 {
	out := append([]float64(nil), t.from...)
	for _, s := range more {
		if s > 0 && s < t.length {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
