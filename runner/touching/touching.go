// Package touching finds strokes whose marks touch or cross.
package touching

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// Neighbours lists, for each group of gestures, the other groups whose marks it
// touches, by their numbers, ascending.
func Neighbours(groups [][]stroke.Gesture) [][]int32 {
	shapes := make([]shape, len(groups))
	for i, g := range groups {
		shapes[i] = shapeOf(g)
	}
	byLeft := make([]int32, 0, len(groups))
	for i := range shapes {
		if len(shapes[i].parts) > 0 {
			byLeft = append(byLeft, int32(i))
		}
	}
	slices.SortStableFunc(byLeft, func(a, b int32) int { return cmp.Compare(shapes[a].box.Min.X, shapes[b].box.Min.X) })
	out := make([][]int32, len(groups))
	for k, i := range byLeft {
		for _, j := range byLeft[k+1:] {
			if shapes[j].box.Min.X > shapes[i].box.Max.X {
				break
			}
			if shapes[i].touches(&shapes[j]) {
				out[i], out[j] = append(out[i], j), append(out[j], i)
			}
		}
	}
	for _, list := range out {
		slices.Sort(list)
	}
	return out
}

// part is a straight part of a mark: the discs at its ends and what they sweep.
type part struct {
	a, b   vector.XY // grid steps
	radius float64   // the greater of the two
	box    plane.Box
}

// shape is what a group paints.
type shape struct {
	parts []part
	box   plane.Box
}

func shapeOf(gestures []stroke.Gesture) shape {
	s := shape{box: plane.Empty()}
	for _, g := range gestures {
		for i, p := range g.Points {
			q := g.Points[max(i-1, 0)]
			if i == 0 && len(g.Points) > 1 {
				continue
			}
			r := max(p.Width, q.Width) / 2 * plane.PerMM
			half := int32(math.Ceil(r))
			box := plane.Around(p.Plane(), half).Union(plane.Around(q.Plane(), half))
			s.parts = append(s.parts, part{q.Plane().XY(), p.Plane().XY(), r, box})
			s.box = s.box.Union(box)
		}
	}
	return s
}

func (s *shape) touches(t *shape) bool {
	if !s.box.Overlaps(t.box) {
		return false
	}
	for i := range s.parts {
		p := &s.parts[i]
		if !p.box.Overlaps(t.box) {
			continue
		}
		for k := range t.parts {
			if q := &t.parts[k]; p.box.Overlaps(q.box) && distance(p, q) <= p.radius+q.radius {
				return true
			}
		}
	}
	return false
}

// distance is that of the middle lines of two parts, in grid steps.
func distance(p, q *part) float64 {
	if crosses(p.a, p.b, q.a, q.b) {
		return 0
	}
	return min(toLine(p.a, q), toLine(p.b, q), toLine(q.a, p), toLine(q.b, p))
}

// crosses reports whether two straight lines properly cross; coordinates are whole
// numbers, so the signs are exact.
func crosses(a, b, c, d vector.XY) bool {
	side := func(a, b, c vector.XY) float64 { return b.Minus(a).Cross(c.Minus(a)) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// toLine is the distance of a point from the middle line of a part.
func toLine(p vector.XY, q *part) float64 {
	way := q.b.Minus(q.a)
	share := 0.0
	if l := way.Dot(way); l > 0 {
		share = min(max(p.Minus(q.a).Dot(way)/l, 0), 1)
	}
	return p.Minus(q.a.Toward(q.b, share)).Length()
}
