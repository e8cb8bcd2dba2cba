package touching

import (
	"math"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// Again is where the middle line of a stroke first crosses itself or returns to its
// beginning, and the shortest way in mm after which that happens; false if it does
// not. A stroke that only lies close to itself, as in a sharp corner, does not.
func Again(points []stroke.Point) (way float64, at plane.Point, ok bool) {
	n := len(points)
	if n < 3 {
		return 0, at, false
	}
	along := make([]float64, n)
	boxes := make([]plane.Box, n)
	for i := 1; i < n; i++ {
		a, b := points[i-1].Plane(), points[i].Plane()
		along[i] = along[i-1] + plane.Distance(a, b)/plane.PerMM
		boxes[i] = plane.Bounds([]plane.Point{a, b})
	}
	take := func(w float64, p plane.Point) {
		if !ok || w < way {
			way, at, ok = w, p, true
		}
	}
	for i := 1; i < n; i++ {
		p := partOf(points[i-1], points[i])
		for k := i + 2; k < n; k++ {
			between := along[k-1] - along[i]
			if ok && between >= way {
				break // farther on than what was found
			}
			if !boxes[i].Overlaps(boxes[k]) {
				continue
			}
			q := partOf(points[k-1], points[k])
			if distance(&p, &q) > 1 {
				continue
			}
			meet := meeting(&p, &q)
			w := between + (p.b.Minus(meet).Length()+q.a.Minus(meet).Length())/plane.PerMM
			if w > (p.radius+q.radius)*2/plane.PerMM { // no point that is stated twice
				take(w, plane.Point{X: int32(math.Round(meet.X)), Y: int32(math.Round(meet.Y))})
			}
		}
	}
	first, last := points[0], points[n-1]
	if gap := plane.Distance(first.Plane(), last.Plane()) / plane.PerMM; gap <= (first.Width+last.Width)/2 && along[n-1] > 2*(first.Width+last.Width) {
		take(along[n-1], last.Plane())
	}
	return way, at, ok
}

func partOf(a, b stroke.Point) part {
	return part{a: a.Plane().XY(), b: b.Plane().XY(), radius: max(a.Width, b.Width) / 2 * plane.PerMM}
}

// meeting is where the lines through two parts that touch meet; for parts of one
// direction, an end of one of them.
func meeting(p, q *part) vector.XY {
	along, other := p.b.Minus(p.a), q.b.Minus(q.a)
	turn := along.Cross(other)
	if turn == 0 {
		return q.a
	}
	return p.a.Toward(p.b, q.a.Minus(p.a).Cross(other)/turn)
}
