package cutting

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/vector"
)

// AsDrawn is what a line of one width covers with its ends and corners as the drawing
// shows them, as clean rings on the grid. It returns false where nothing is left of
// it there, or its edges are more tangled than package region accepts.
func AsDrawn(points []vector.XY, width float64, closed bool, look contour.Look) ([][]vector.XY, bool) {
	var rings [][]plane.Point
	for _, ring := range pieces(points, width, closed, look) {
		rings = append(rings, onGrid(ring))
	}
	regions, ok := region.Filled(rings, contour.NonZero)
	var out [][]vector.XY
	for _, r := range regions {
		for _, ring := range r.Rings {
			clean := make([]vector.XY, len(ring))
			for i, p := range ring {
				clean[i] = inMM(p)
			}
			out = append(out, clean)
		}
	}
	return out, ok && len(out) > 0
}

// pieces together are what a line of one width covers with its ends and corners as the
// drawing shows them, as rings by the non-zero rule. They all run
// counter-clockwise: a rectangle for each segment, a wedge for each corner, and
// what square ends add. Those of a stretched line are made where it was not, and
// stretched.
//
// Source: W3C, Scalable Vector Graphics (SVG) 2, 13.5.3, "Computing the shape of the
// stroke"; from memory.
func pieces(points []vector.XY, width float64, closed bool, look contour.Look) [][]vector.XY {
	if !look.Stretch.None() {
		return stretched(points, width, closed, look)
	}
	segments := segmentsOf(points, width, closed)
	var rings [][]vector.XY
	for _, s := range segments {
		rings = append(rings, s.rectangle())
	}
	n := len(segments)
	for i := range n {
		if i == n-1 && !closed {
			break
		}
		if ring := wedge(segments[i], segments[(i+1)%n], look); len(ring) > 2 {
			rings = append(rings, ring)
		}
	}
	if closed || n == 0 {
		return rings
	}
	first, last := segments[0], segments[n-1]
	if look.Ends == contour.FlatEnds {
		return rings
	}
	back := tangent{a: first.b, b: first.a, left: first.right, right: first.left}
	return append(rings, end(back, look.Ends), end(last, look.Ends))
}

// stretched are the pieces of a stretched line. All is so much larger before it is
// stretched that no chord of an arc becomes longer by it: they stay as near to
// the arcs as others.
func stretched(points []vector.XY, width float64, closed bool, look contour.Look) [][]vector.XY {
	larger, back := look.Stretch.Most(), look.Stretch.Inverse()
	before := make([]vector.XY, len(points))
	for i, p := range points {
		before[i] = back.At(p).Times(larger)
	}
	even := look
	even.Stretch = contour.Stretch{}
	rings := pieces(before, float64(width*larger), closed, even)
	for _, ring := range rings {
		for i, p := range ring {
			ring[i] = look.Stretch.At(p).Times(1 / larger)
		}
		if look.Stretch.Mirrors() {
			slices.Reverse(ring)
		}
	}
	return rings
}

// Beyond is the area (mm²) by which a line with round ends and corners, and a width (mm)
// at each point, differs from the drawn one: the half discs beyond flat ends, and what
// square ends and corners have more or less. Where a width jumps, the drawing has a
// step, and the larger disc reaches beyond it. Each of them counts by itself, also where the line itself
// or another shape covers it. That a line is stretched does not count: it is no line
// by then.
func Beyond(points []vector.XY, widths []float64, closed bool, look contour.Look) float64 {
	round := look
	round.Corners = contour.RoundCorners
	var first, last tangent // of the segments so far
	sum, n := 0.0, 0
	corner := func(a, b tangent) {
		if look.Corners == contour.RoundCorners {
			return
		}
		r := min(a.b.r, b.a.r)
		a.b.r, b.a.r = r, r
		sum += math.Abs(enclosed(wedge(a, b, look)) - enclosed(wedge(a, b, round)))
	}
	for i := range points {
		k := (i + 1) % len(points)
		if k == 0 && !closed {
			break
		}
		s, ok := straight(disc{points[i], widths[i] / 2}, disc{points[k], widths[k] / 2})
		if !ok {
			if look.Ends == contour.FlatEnds {
				sum += step(widths[i]/2, widths[k]/2)
			}
			continue
		}
		if n++; n == 1 {
			first = s
		} else {
			corner(last, s)
		}
		last = s
	}
	switch {
	case n == 0:
	case closed:
		corner(last, first)
	default:
		sum += endBeyond(first.a.r, look.Ends) + endBeyond(last.b.r, look.Ends)
	}
	return sum
}

// straight is a segment whose sides start at right angles to it, as its ends are drawn.
// It returns false where one of its discs holds the other.
func straight(a, b disc) (tangent, bool) {
	s, ok := tangentOf(a, b)
	if !ok {
		return s, false
	}
	way := b.at.Minus(a.at)
	s.left = way.Left().Times(1 / way.Length())
	s.right = s.left.Times(-1)
	return s, true
}

// endBeyond is the area by which an end differs from a half disc.
func endBeyond(r float64, ends contour.Ends) float64 {
	switch ends {
	case contour.FlatEnds:
		return float64(math.Pi/2*r) * r
	case contour.SquareEnds:
		return float64((2-math.Pi/2)*r) * r
	}
	return 0
}

// step is the area of a half disc beyond a band that starts at its straight side and
// has the radius of the narrower one as half its width.
func step(r1, r2 float64) float64 {
	r, h := max(r1, r2), min(r1, r2)
	if r == 0 {
		return 0
	}
	band := float64(h*math.Sqrt(float64(r*r)-float64(h*h))) + float64(float64(r*r)*arith.Asin(h/r))
	return float64(float64(math.Pi/2*r)*r) - band
}

func enclosed(ring []vector.XY) float64 {
	sum := 0.0
	for i, p := range ring {
		sum += p.Minus(ring[0]).Cross(ring[(i+1)%len(ring)].Minus(ring[0])) / 2
	}
	return sum
}

func segmentsOf(points []vector.XY, width float64, closed bool) []tangent {
	var out []tangent
	n := len(points)
	for i := range points {
		if i == n-1 && !closed {
			break
		}
		if t, ok := tangentOf(disc{points[i], width / 2}, disc{points[(i+1)%n], width / 2}); ok {
			out = append(out, t)
		}
	}
	return out
}

// rectangle is what a segment covers. Its ends have the centre line's point as a
// corner, as have the wedges, so that both are laid on the grid alike.
func (t tangent) rectangle() []vector.XY {
	r := t.a.r
	return []vector.XY{t.a.at.Plus(t.right.Times(r)), t.b.at.Plus(t.right.Times(r)), t.b.at, t.b.at.Plus(t.left.Times(r)), t.a.at.Plus(t.left.Times(r)), t.a.at}
}

// wedge is what lies between two segments on the outer side of their corner.
func wedge(s, t tangent, look contour.Look) []vector.XY {
	at, r := s.b.at, s.b.r
	from, to := s.right, t.right
	if from.Cross(to) < 0 {
		from, to = t.left, s.left
	}
	cos := from.Dot(to)
	if look.Corners == contour.RoundCorners || cos > contour.CosRound {
		return arc([]vector.XY{at}, s.b, from, to)
	}
	ring := []vector.XY{at, at.Plus(from.Times(r))}
	// The tip lies at r / cos(turn/2) from the corner.
	middle := from.Plus(to)
	half := middle.Length() / 2 // the cosine of half the turn
	if look.Corners == contour.PointedCorners && half > 0 && float64(half*look.Reach) >= 1 {
		ring = append(ring, at.Plus(middle.Times(r/float64(2*float64(half*half)))))
	}
	return append(ring, at.Plus(to.Times(r)))
}

// end is what lies beyond the end of a segment that is not flat.
func end(t tangent, ends contour.Ends) []vector.XY {
	r := t.b.r
	right, left := t.b.at.Plus(t.right.Times(r)), t.b.at.Plus(t.left.Times(r))
	if ends == contour.SquareEnds {
		on := t.right.Left().Times(r)
		return []vector.XY{t.b.at, right, right.Plus(on), left.Plus(on), left}
	}
	return arc([]vector.XY{t.b.at}, t.b, t.right, t.left)
}
