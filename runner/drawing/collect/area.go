package collect

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// samePointMM is the distance (mm) within which two ends are the same point: rounding
// in files and flattening leave no more.
const samePointMM = 0.0005

// edgeList holds the edges of a boundary, flattened.
type edgeList struct {
	points []vector.XY // of all, one after the other
	edges  []edge
}

type edge struct {
	from, to int // in the points
	used     bool
}

// joinEdges makes outlines from the edges of a boundary.
func (s *shapes) joinEdges(e *sink.Entity, layer int32, edges []flatten.Curve, m *affine.Map) bool {
	l := &s.edges
	l.points, l.edges = l.points[:0], l.edges[:0]
	for _, curve := range edges {
		// Report a point out of reach before points are compared.
		if !s.flatten(e, curve, m) || !s.withinReach(e) {
			return false
		}
		from := len(l.points)
		l.points = append(l.points, s.pen.Points...)
		l.edges = append(l.edges, edge{from: from, to: len(l.points)})
	}
	work := 64*len(l.edges) + 1_000_000 // comparisons: a boundary in order needs one per edge
	for i := range l.edges {
		if l.edges[i].used {
			continue
		}
		s.pen.Begin(s.buffer.Free())
		s.pen.Points = l.append(s.pen.Points, i, false)
		if !s.closeRing(e, i, &work) {
			return false
		}
		s.points -= min(s.points, len(s.pen.Points)) // they were counted edge by edge
		s.keepCurve(e, layer, true, contour.EvenOdd)
	}
	return true
}

// closeRing appends edges to the path that begins with edge i until it comes
// back to its start.
func (s *shapes) closeRing(e *sink.Entity, i int, work *int) bool {
	l := &s.edges
	for next := i + 1; !isRing(s.pen.Points); {
		path := s.pen.Points
		first, last := path[0], path[len(path)-1]
		k, back := s.findEdge(last, next, work)
		switch {
		case k >= 0:
			s.pen.Points = l.append(path, k, back)
			next = k + 1
		case s.meets(last, first):
			return true
		default:
			s.notes.elementf(problem.OpenBoundary, e.At, e.End, problem.Advise("draw the hatch again on a closed outline"),
				"a boundary of this %s is open: from (%s, %s) mm to (%s, %s) mm, %s mm apart", e.What,
				drawing.Short(first.X), drawing.Short(first.Y), drawing.Short(last.X), drawing.Short(last.Y), drawing.Short(vector.Distance(last, first)))
			return false
		}
	}
	return true
}

func isSamePoint(p, q vector.XY) bool {
	return vector.Distance2(p, q) <= float64(samePointMM*samePointMM)
}

// isRing reports whether a path has left its start and come back to it.
func isRing(path []vector.XY) bool {
	return isSamePoint(path[len(path)-1], path[0]) && slices.ContainsFunc(path, func(p vector.XY) bool { return !isSamePoint(p, path[0]) })
}

// findEdge finds an unused edge with an end at p. It tries the next edge in the file
// first.
func (s *shapes) findEdge(p vector.XY, next int, work *int) (k int, back bool) {
	l := &s.edges
	for n := range l.edges {
		k := (next + n) % len(l.edges)
		e := &l.edges[k]
		if *work--; *work < 0 {
			return -1, false
		}
		if e.used {
			continue
		}
		if s.meets(p, l.points[e.from]) {
			return k, false
		}
		if s.meets(p, l.points[e.to-1]) {
			return k, true
		}
	}
	return -1, false
}

// append adds the points of an edge to a path.
func (l *edgeList) append(path []vector.XY, k int, back bool) []vector.XY {
	e := &l.edges[k]
	e.used = true
	pts := l.points[e.from:e.to]
	for i := range pts {
		p := pts[i]
		if back {
			p = pts[len(pts)-1-i]
		}
		if n := len(path); n > 0 && i == 0 && isSamePoint(path[n-1], p) {
			continue
		}
		path = append(path, p)
	}
	return path
}
