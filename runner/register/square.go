package register

import (
	"math"

	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// square is a square found in a drawing.
type square struct {
	at       vector.XY // its centre
	corner   vector.XY // from the centre to one corner
	size     float64   // mm, its side
	contours []int     // the contour, and its duplicates
}

// A contour is a square if its outline stays this close (mm, and share of the
// side) to the square with the same centre and area.
const (
	squareWithin      = 0.05
	squareWithinShare = 0.01
	// Two squares are the same one, drawn twice, if they are within this (mm)
	// of each other.
	twinWithin = 0.01
)

// squares lists the squares of a drawing in its order.
func squares(contours []drawing.Contour) []square {
	var out []square
	// Squares by rounded centre and size, so that a square drawn twice is found
	// quickly even among many.
	type key struct{ x, y, size int64 }
	near := make(map[key][]int)
	step := func(v float64) int64 { return int64(math.Floor(v / twinWithin)) }
next:
	for i, c := range contours {
		s, ok := asSquare(c.Points)
		if !c.Closed || !ok {
			continue
		}
		own := key{step(s.at.X), step(s.at.Y), step(s.size)}
		for n := range int64(27) {
			for _, k := range near[key{own.x + n%3 - 1, own.y + n/3%3 - 1, own.size + n/9 - 1}] {
				if o := &out[k]; math.Abs(o.size-s.size) <= twinWithin && vector.Distance(o.at, s.at) <= twinWithin {
					o.contours = append(o.contours, i)
					continue next
				}
			}
		}
		s.contours = []int{i}
		near[own] = append(near[own], len(out))
		out = append(out, s)
	}
	return out
}

// Squares lists the sides (mm) of the closed squares of a drawing, which may be
// marks, in the drawing's order.
func Squares(d *drawing.Drawing) []float64 {
	var out []float64
	for _, s := range squares(d.Contours) {
		out = append(out, s.size)
	}
	return out
}

// asSquare compares an outline with the square that has its centre, its area
// and its farthest corner's direction. Points along the sides do not matter.
func asSquare(points []vector.XY) (square, bool) {
	centre, area, length := centroid(points)
	// A square's perimeter squared is 16 times its area; most shapes end here.
	if area == 0 || math.Abs(float64(length*length)/area-16) > 0.5 {
		return square{}, false
	}
	s := square{at: centre, size: math.Sqrt(area)}
	far := 0.0
	for _, p := range points {
		if d := vector.Distance(p, centre); d > far {
			far, s.corner = d, p.Minus(centre)
		}
	}
	within := min(squareWithin, squareWithinShare*s.size)
	cornersSeen := [4]bool{}
	for _, p := range points {
		u, v := s.local(p)
		if math.Abs(max(math.Abs(u), math.Abs(v))-s.size/2) > within {
			return s, false
		}
		if min(math.Abs(u), math.Abs(v)) > s.size/2-2*within {
			cornersSeen[quadrant(u, v)] = true
		}
	}
	return s, cornersSeen == [4]bool{true, true, true, true}
}

// local returns a point in the square's own axes, along its sides.
func (s *square) local(p vector.XY) (u, v float64) {
	x, y := p.X-s.at.X, p.Y-s.at.Y
	// The corner lies on the diagonal; an eighth of a turn from it is the
	// direction of a side.
	scale := 1 / (s.corner.Length() * math.Sqrt2)
	ax, ay := (s.corner.X+s.corner.Y)*scale, (s.corner.Y-s.corner.X)*scale
	return float64(x*ax) + float64(y*ay), float64(y*ax) - float64(x*ay)
}

// holds reports whether all points lie inside the square.
func (s *square) holds(points []vector.XY) bool {
	for _, p := range points {
		u, v := s.local(p)
		if max(math.Abs(u), math.Abs(v)) >= s.size/2 {
			return false
		}
	}
	return len(points) > 0
}

// centroid returns the centre of the area inside a closed outline, its area
// (always positive) and its length. An area of 0 means that there is no centre.
func centroid(points []vector.XY) (centre vector.XY, area, length float64) {
	if len(points) < 3 {
		return vector.XY{}, 0, 0
	}
	o := points[0] // sums relative to a near point lose no digits far from the origin
	var sx, sy float64
	for i, p := range points {
		q := points[(i+1)%len(points)]
		length += vector.Distance(p, q)
		a, b := p.Minus(o), q.Minus(o)
		cross := a.Cross(b)
		area += cross
		sx += float64((a.X + b.X) * cross)
		sy += float64((a.Y + b.Y) * cross)
	}
	if area == 0 || math.IsNaN(area) || math.IsInf(area, 0) {
		return vector.XY{}, 0, 0
	}
	centre = vector.XY{X: o.X + sx/(3*area), Y: o.Y + sy/(3*area)}
	return centre, math.Abs(area) / 2, length
}
