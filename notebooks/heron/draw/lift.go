package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
	"math"
)

// lifted breaks a stroke where it would come nearer to the shape than gap
// (mm), lifting the brush to a point within taper mm of each break. Pieces
// shorter than shortest are left out.
func lifted(s *stroke, shape []pt, gap, taper, shortest float64) []*stroke {
	const step = 0.25
	var out []*stroke
	start := -1.0
	n := int((s.to-s.from)/step) + 1
	end := func(a, b float64) {
		cutA, cutB := a > s.from, b < s.to
		if (cutA || cutB) && b-a < shortest {
			return
		}
		q := *s
		q.from, q.to = a, b
		wide := s.wide
		q.wide = func(at float64) float64 {
			v := wide(at)
			room := math.Min(taper, (b-a)/2.2)
			ease := func(d float64) float64 {
				k := brushwork.Clamp(d/room, 0, 1)
				return vector.Lerp(s.least, v, mul(1.5, k)-mul(mul(0.5, k), k))
			}
			w := v
			if cutA {
				w = math.Min(w, ease(at-a))
			}
			if cutB {
				w = math.Min(w, ease(b-at))
			}
			return w
		}
		out = append(out, &q)
	}
	for i := 0; i <= n; i++ {
		at := math.Min(s.from+mul(float64(i), step), s.to)
		c, _ := s.c.locate(at)
		free := !near(c, shape, gap)
		if free && start < 0 {
			start = at
		}
		if !free && start >= 0 {
			end(start, at)
			start = -1
		}
	}
	if start >= 0 {
		end(start, s.to)
	}
	return out
}

// near tells whether a point lies within a closed shape or nearer to it than
// gap.
func near(p pt, shape []pt, gap float64) bool {
	in := false
	for i, a := range shape {
		b := shape[(i+1)%len(shape)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+mul(b.X-a.X, (p.Y-a.Y)/(b.Y-a.Y)) {
			in = !in
		}
		d := b.Minus(a)
		k := brushwork.Clamp(p.Minus(a).Dot(d)/math.Max(1e-9, d.Dot(d)), 0, 1)
		if a.Toward(b, k).Minus(p).Length() < gap {
			return true
		}
	}
	return in
}
