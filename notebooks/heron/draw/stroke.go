package main

import (
	"mahlstick/notebooks/brushwork"
	"mahlstick/runner/vector"
	"math"
)

// kind is how an outline is written into the drawing.
type kind int8

const (
	asSpline   kind = iota // one closed SPLINE
	asPolyline             // one closed LWPOLYLINE with bulges
	asPieces               // loose LINEs and ARCs
)

// stroke is one mark of the brush: a part of a centre line with a width at
// every point. Its outline is the envelope of the circles along it.
type stroke struct {
	ink      string
	subject  string // the drawing layer
	c        *curve
	from, to float64                  // mm along c
	wide     func(at float64) float64 // full width (mm) at a length along c
	least    float64                  // mm: the brush is never asked for less
	as       kind

	halves []float64 // half widths (mm), step mm apart, once settled
	step   float64
}

const grain = 0.08 // mm between the widths that are kept

// steepest is the half width gained a mm of path: a soft brush opens slowly,
// and the key, which nothing covers, is drawn the most patiently.
var steepest = map[string]float64{straw: 0.6, moss: 0.6, slate: 0.6, indigo: 0.2}

// settle works out the half widths along the stroke: as asked, but nowhere
// swelling faster than a soft brush can open, and without kinks.
func (s *stroke) settle() {
	n := max(4, int((s.to-s.from)/grain)+1)
	s.step = (s.to - s.from) / float64(n)
	h := make([]float64, n+1)
	for i := range h {
		h[i] = s.wide(s.from+mul(s.step, float64(i))) / 2
	}
	s.halves = brushwork.Soften(h, func(int) float64 { return s.step }, steepest[s.ink], 6)
}

// half is the half width (mm) at a length along the centre line, and steep
// how fast it grows there.
func (s *stroke) half(at float64) float64 {
	i, k := s.place(at)
	return vector.Lerp(s.halves[i], s.halves[i+1], k)
}

func (s *stroke) steep(at float64) float64 {
	n := len(s.halves) - 1
	slope := func(i int) float64 {
		a, b := max(0, i-1), min(n, i+1)
		return (s.halves[b] - s.halves[a]) / mul(float64(b-a), s.step)
	}
	i, k := s.place(at)
	return vector.Lerp(slope(i), slope(i+1), k)
}

func (s *stroke) place(at float64) (int, float64) {
	v := (brushwork.Clamp(at, s.from, s.to) - s.from) / s.step
	i := min(int(v), len(s.halves)-2)
	return i, v - float64(i)
}

// edge gives the outline's point to the right (side -1) or left (+1) of the
// stroke, and its direction there along the stroke.
func (s *stroke) edge(at, side float64) (p, along pt) {
	c, t := s.c.locate(at)
	g := s.steep(at)
	out := brushwork.Outward(t, g, side)
	return c.Plus(out.Times(s.half(at))), brushwork.Right(out).Times(side)
}

// joint is a point of an outline, its direction there, and the length of the
// way to the next (mm), measured as a cubic needs it.
type joint struct {
	p, along pt
	span     float64
	middle   pt // of the way to the next
}

const outlineTolerance = 0.008 // mm, between what is written and the true edge

// parts splits from..to (mm along the stroke, in either direction) until one
// cubic, or one arc, over each part keeps to the edge.
func (s *stroke) parts(from, to, side float64, depth int) []float64 {
	if depth == 0 || s.keeps(from, to, side) {
		return []float64{from}
	}
	mid := vector.Lerp(from, to, 0.5)
	return append(s.parts(from, mid, side, depth-1), s.parts(mid, to, side, depth-1)...)
}

// keeps tells whether what is written for one part keeps to the edge.
func (s *stroke) keeps(from, to, side float64) bool {
	p, a := s.edge(from, side)
	q, b := s.edge(to, side)
	if to < from {
		a, b = a.Times(-1), b.Times(-1)
	}
	if a.Dot(b) < 0.6 {
		return false
	}
	h := s.way(from, to, side) / 3
	mid, _ := s.edge(vector.Lerp(from, to, 0.5), side)
	chord := q.Minus(p)
	sagitta := chord.Cross(mid.Minus(p)) / chord.Length()
	for i := 1; i < 8; i++ {
		k := float64(i) / 8
		e, t := s.edge(vector.Lerp(from, to, k), side)
		var off float64
		if s.as == asSpline {
			// Compared across the edge, for the two need not keep step.
			off = brushwork.Cubic(p, p.Plus(a.Times(h)), q.Minus(b.Times(h)), q, k).Minus(e).Dot(t.Left())
		} else {
			// A flat arc is a parabola nearly enough.
			x := e.Minus(p).Dot(chord) / chord.Dot(chord)
			off = chord.Cross(e.Minus(p))/chord.Length() - mul(mul(4, sagitta), mul(x, 1-x))
		}
		if math.Abs(off) > outlineTolerance {
			return false
		}
	}
	return s.as == asSpline || a.Dot(b) > 0.9
}

// way is the length of the edge from one place to another.
func (s *stroke) way(from, to, side float64) float64 {
	sum := 0.0
	last, _ := s.edge(from, side)
	for k := 1; k <= 8; k++ {
		p, _ := s.edge(vector.Lerp(from, to, float64(k)/8), side)
		sum += p.Minus(last).Length()
		last = p
	}
	return sum
}

// outline goes once round the stroke, counter-clockwise from the tip where it
// began: along its right, round its end, back along its left.
func (s *stroke) outline() []joint {
	var js []joint
	tip := func(at, sign float64) (c pt, r float64, j joint) {
		c, t := s.c.locate(at)
		r = s.half(at)
		out := t.Times(sign)
		return c, r, joint{p: c.Plus(out.Times(r)), along: out.Left()}
	}
	add := func(from, to, sd float64) {
		ats := append(s.parts(from, to, sd, 7), to)
		for i, at := range ats {
			p, t := s.edge(at, sd)
			if to < from {
				t = t.Times(-1)
			}
			j := joint{p: p, along: t}
			if i < len(ats)-1 {
				j.span = s.way(at, ats[i+1], sd)
				j.middle, _ = s.edge(vector.Lerp(at, ats[i+1], 0.5), sd)
			}
			js = append(js, j)
		}
	}
	round := func(i int, c pt, r float64) {
		// From js[i] to js[i+1] along a circle: the handle is 4/3 tan(angle/4).
		a, b := js[i].along, js[(i+1)%len(js)].along
		quarter := brushwork.TanQuarter(brushwork.TanHalf(a.Dot(b)))
		js[i].span = mul(mul(4, r), quarter)
		js[i].middle = c.Plus(brushwork.Right(brushwork.Unit(a.Plus(b))).Times(r))
	}
	c0, r0, first := tip(s.from, -1)
	js = append(js, first)
	add(s.from, s.to, -1)
	n := len(js)
	c1, r1, last := tip(s.to, 1)
	js = append(js, last)
	add(s.to, s.from, 1)
	round(0, c0, r0)
	round(n-1, c1, r1)
	round(n, c1, r1)
	round(len(js)-1, c0, r0)
	return js
}
