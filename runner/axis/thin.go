package axis

import "math"

// slack bounds, in grid steps, how far points may lie from the chords they are
// left out for, in the plane and in radius.
const slack = 3.0

// thin leaves out points of a run that the chords between others pass closely
// enough, in place.
//
// Source: D. H. Douglas, T. K. Peucker, Algorithms for the reduction of the
// number of points required to represent a digitized line, Cartographica 10
// (1973) 112-122 (from memory); long runs are halved first, so that no run
// costs more than its length.
func (tr *tracer) thin(points []Point) []Point {
	n := len(points)
	tr.stay = grow(tr.stay, n)
	for i := range tr.stay {
		tr.stay[i] = false
	}
	tr.stay[0], tr.stay[n-1] = true, true
	tr.spans = append(tr.spans[:0], span{0, int32(n - 1)})
	for len(tr.spans) > 0 {
		s := tr.spans[len(tr.spans)-1]
		tr.spans = tr.spans[:len(tr.spans)-1]
		mid := (s.from + s.to) / 2
		if s.to-s.from <= 1024 {
			mid = farthest(points, s)
		}
		if mid > s.from && mid < s.to {
			tr.stay[mid] = true
			tr.spans = append(tr.spans, span{s.from, mid}, span{mid, s.to})
		}
	}
	out := points[:0]
	for i, p := range points {
		if tr.stay[i] {
			out = append(out, p)
		}
	}
	return out
}

type span struct{ from, to int32 }

// farthest is the point of a span that lies farthest from its chord, or -1
// where none is farther than slack. A run that comes back to where it started
// keeps a point however near.
func farthest(points []Point, s span) int32 {
	a, b := points[s.from], points[s.to]
	dx, dy, dr := float64(b.X)-float64(a.X), float64(b.Y)-float64(a.Y), float64(b.R)-float64(a.R)
	square := float64(dx*dx) + float64(dy*dy)
	worst, at := slack, int32(-1)
	if a == b {
		worst = 0
	}
	for i := s.from + 1; i < s.to; i++ {
		p := points[i]
		x, y, r := float64(p.X)-float64(a.X), float64(p.Y)-float64(a.Y), float64(p.R)-float64(a.R)
		t := 0.0
		if square > 0 {
			t = math.Max(0, math.Min(1, (float64(x*dx)+float64(y*dy))/square))
		}
		x, y, r = x-float64(t*dx), y-float64(t*dy), math.Abs(r-float64(t*dr))
		if off := math.Max(r, math.Sqrt(float64(x*x)+float64(y*y))); off > worst {
			worst, at = off, i
		}
	}
	return at
}
