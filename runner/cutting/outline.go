package cutting

import (
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// arcWithin (mm) is how far a chord of a round end or corner lies inside it at
// most.
const arcWithin = 0.001

// arcShare is the same as a share of the radius, for widths that no sheet has.
const arcShare = 1e-5

// Outline is what a line with a width at each point covers, as rings by the
// non-zero rule: discs that move along it and change evenly.
//
// On each side it runs along the segments, around the outer side of each corner,
// and by way of the corner itself on its inner side. So it is the sum of a
// trapezoid for each segment and a wedge for each corner, all of which wind the
// same way, and nothing that is covered twice cancels out.
func Outline(points []vector.XY, widths []float64, closed bool) [][]vector.XY {
	var o outliner
	n := len(points)
	for i := range points {
		o.discs = append(o.discs, disc{points[i], widths[i] / 2})
	}
	if n == 1 {
		return [][]vector.XY{o.circle(o.discs[0])}
	}
	last := n - 1
	if closed {
		last = n
	}
	var rings [][]vector.XY
	for i := range last {
		t, ok := tangentOf(o.discs[i], o.discs[(i+1)%n])
		if !ok { // one disc within the other
			rings = append(rings, o.circle(bigger(o.discs[i], o.discs[(i+1)%n])))
			continue
		}
		o.segments = append(o.segments, t)
	}
	if len(o.segments) == 0 {
		return rings
	}
	if len(o.segments) < last || slices.Min(widths) != slices.Max(widths) {
		// Where the width changes, an outer side may turn by more than half a turn,
		// so each segment has round ends of its own.
		for _, s := range o.segments {
			rings = append(rings, (&outliner{segments: []tangent{s}}).open())
		}
		return rings
	}
	if closed {
		return append(rings, o.side(false, true), o.side(true, true))
	}
	return append(rings, o.open())
}

type disc struct {
	at vector.XY
	r  float64
}

func bigger(a, b disc) disc {
	if a.r > b.r {
		return a
	}
	return b
}

// tangent is a segment with the directions, of length 1, from its centre line to
// the two common tangents of its discs.
type tangent struct {
	a, b        disc
	left, right vector.XY
}

func tangentOf(a, b disc) (tangent, bool) {
	way := b.at.Minus(a.at)
	length := way.Length()
	if length <= math.Abs(a.r-b.r) || length == 0 {
		return tangent{}, false
	}
	u := way.Times(1 / length)
	sin := (a.r - b.r) / length
	cos := math.Sqrt(1 - float64(sin*sin))
	along, across := u.Times(sin), u.Left().Times(cos)
	return tangent{a, b, along.Plus(across), along.Minus(across)}, true
}

type outliner struct {
	discs    []disc
	segments []tangent
}

// open is the outline of an open line: forth on its right, around its end, back
// on its left, around its start.
func (o *outliner) open() []vector.XY {
	first, last := o.segments[0], o.segments[len(o.segments)-1]
	ring := o.side(false, false)
	ring = arc(ring, last.b, last.right, last.left)
	ring = append(ring, o.side(true, false)...)
	return arc(ring, first.a, first.left, first.right)
}

// side is one side of the line: the right one forth, or the left one back.
func (o *outliner) side(left, closed bool) []vector.XY {
	var ring []vector.XY
	n := len(o.segments)
	for i := range n {
		s := o.segments[i]
		d0, d1, normal := s.a, s.b, s.right
		next := i + 1
		if left {
			s = o.segments[n-1-i]
			d0, d1, normal = s.b, s.a, s.left
			next = n - 2 - i
		}
		ring = append(ring, d0.at.Plus(normal.Times(d0.r)), d1.at.Plus(normal.Times(d1.r)))
		if next < 0 || next >= n {
			if !closed {
				break
			}
			next = (next + n) % n
		}
		to := o.segments[next].right
		if left {
			to = o.segments[next].left
		}
		if normal.Cross(to) >= 0 { // outer side of the corner
			ring = arc(ring, d1, normal, to)
		} else {
			ring = append(ring, d1.at)
		}
	}
	return ring
}

// arc appends the points of an arc counter-clockwise around a disc, from one
// direction to another, both included.
func arc(ring []vector.XY, d disc, from, to vector.XY) []vector.XY {
	ring = append(ring, d.at.Plus(from.Times(d.r)))
	for range 3 {
		if from.Cross(to) >= 0 && from.Dot(to) > -0.5 {
			break
		}
		quarter := from.Left()
		ring = append(bend(ring, d, from, quarter), d.at.Plus(quarter.Times(d.r)))
		from = quarter
	}
	return append(bend(ring, d, from, to), d.at.Plus(to.Times(d.r)))
}

// bend appends the points of an arc of less than two thirds of half a turn
// between its ends, halving it until its chords are near enough.
func bend(ring []vector.XY, d disc, from, to vector.XY) []vector.XY {
	middle := from.Plus(to)
	half := middle.Length() / 2 // the cosine of half the angle
	if !(half > 0.1) || float64(d.r*(1-half)) <= max(arcWithin, float64(d.r*arcShare)) {
		return ring
	}
	middle = middle.Times(1 / (2 * half))
	ring = append(bend(ring, d, from, middle), d.at.Plus(middle.Times(d.r)))
	return bend(ring, d, middle, to)
}

func (o *outliner) circle(d disc) []vector.XY {
	right, left := vector.XY{X: 1}, vector.XY{X: -1}
	return arc(arc(nil, d, right, left), d, left, right)
}
