package bed

import "math"

// uncertainties splits what the touches scatter about the surface. scatter is
// the standard uncertainty of one touch: as stated or as found, whichever is
// greater. rough is what the bed itself departs from the surface: what was found
// beyond the stated scatter. If no touch is left over to tell that (three make a
// plane), it is that of a bed about which nothing is known.
func uncertainties(s *Surface) {
	free := len(s.touches) - len(s.terms)
	if free < 1 {
		s.scatter, s.rough = s.setup.Touched, s.setup.Flat
		return
	}
	squares := 0.0
	for i := range s.touches {
		r := s.Left(i)
		squares += float64(r * r)
	}
	found, stated := squares/float64(free), float64(s.setup.Touched*s.setup.Touched)
	s.scatter = math.Sqrt(max(found, stated))
	s.rough = math.Sqrt(max(found-stated, 0))
}

// Left is what the surface leaves of a touch: how far the touched height is
// above the surface.
func (s *Surface) Left(touch int) float64 {
	t := s.touches[touch]
	return t.Height - s.polynomial(t.X, t.Y)
}

// Doubt is the standard uncertainty of Height at a place: that of the fitted
// terms, relative to the place of touching off, and that of the bed's own
// roughness.
//
// The covariance of the terms is scatter² times the inverse of the matrix of the
// normal equations (C. L. Lawson, R. J. Hanson, Solving Least Squares Problems,
// 1974, ch. 12; from memory).
func (s *Surface) Doubt(x, y float64) float64 {
	x, y = s.setup.Area.within(x, y)
	a, b := values(s, x, y), values(s, s.setup.TouchOffX, s.setup.TouchOffY)
	sum := 0.0
	for i, row := range s.cofactors {
		for k, c := range row {
			sum += float64(float64((a[i]-b[i])*c) * (a[k] - b[k]))
		}
	}
	return math.Sqrt(max(float64(float64(s.scatter*s.scatter)*sum)+float64(s.rough*s.rough), 0))
}

// doubtSteps is how many places along x and y are tried for the greatest doubt.
const doubtSteps = 12

// GreatestDoubt is the greatest Doubt over the touched places.
func (s *Surface) GreatestDoubt() float64 {
	b := s.Touched()
	worst := 0.0
	for i := range doubtSteps + 1 {
		for k := range doubtSteps + 1 {
			x := b.MinX + float64((b.MaxX-b.MinX)*float64(i))/doubtSteps
			y := b.MinY + float64((b.MaxY-b.MinY)*float64(k))/doubtSteps
			if s.Beyond(x, y) <= 0 {
				worst = max(worst, s.Doubt(x, y))
			}
		}
	}
	for _, p := range s.hull {
		worst = max(worst, s.Doubt(p.X, p.Y))
	}
	return worst
}

// Touched is the box around the touched places.
func (s *Surface) Touched() Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, t := range s.hull {
		b = Box{min(b.MinX, t.X), min(b.MinY, t.Y), max(b.MaxX, t.X), max(b.MaxY, t.Y)}
	}
	return b
}

// Beyond is how far a place is outside the touched area, which is the convex
// hull of the touched places; 0 or less inside.
func (s *Surface) Beyond(x, y float64) float64 {
	out := math.Inf(-1)
	for i, a := range s.hull {
		b := s.hull[(i+1)%len(s.hull)]
		dx, dy := b.X-a.X, b.Y-a.Y
		right := (float64(dy*(x-a.X)) - float64(dx*(y-a.Y))) / math.Sqrt(float64(dx*dx)+float64(dy*dy))
		out = max(out, right)
	}
	return out
}

// turn is twice the area of a triangle, positive if it is counter-clockwise.
func turn(a, b, c Touch) float64 {
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// hull is the convex hull of places that are sorted, counter-clockwise
// (A. M. Andrew, Information Processing Letters 9, 1979, 216-219).
func hull(places []Touch) []Touch {
	if len(places) < 3 {
		return places
	}
	var out []Touch
	add := func(p Touch, base int) {
		for len(out) >= base+2 && turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
			out = out[:len(out)-1]
		}
		out = append(out, p)
	}
	for _, p := range places {
		add(p, 0)
	}
	base := len(out) - 1
	for i := len(places) - 2; i >= 0; i-- {
		add(places[i], base)
	}
	return out[:len(out)-1]
}

// width is how far a hull reaches from the longest line between two of its
// corners.
func width(hull []Touch) float64 {
	var a, b Touch
	longest := 0.0
	for _, p := range hull {
		for _, q := range hull {
			if d := math.Sqrt(float64((p.X-q.X)*(p.X-q.X)) + float64((p.Y-q.Y)*(p.Y-q.Y))); d > longest {
				a, b, longest = p, q, d
			}
		}
	}
	most := 0.0
	for _, p := range hull {
		if longest > 0 {
			most = max(most, math.Abs(turn(a, b, p))/longest)
		}
	}
	return most
}
