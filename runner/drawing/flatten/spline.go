package flatten

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/vector"
)

// farAway is a coordinate (mm) far beyond every drawing, at which products are
// still finite.
const farAway = 1e15

// Spline is a B-spline curve, rational where it has weights.
type Spline struct {
	Degree  int
	Knots   []float64
	Control []vector.XYZ
	Weights []float64
}

// Check answers "" for a spline that can be flattened, else what is wrong with
// it. Knots that fall by no more than a writer's rounding are made equal.
func (s *Spline) Check() string {
	n := len(s.Control)
	switch {
	case s.Degree < 1 || s.Degree > maxDegree:
		return fmt.Sprintf("a SPLINE of degree %d cannot be read, only degrees 1 to %d", s.Degree, maxDegree)
	case n <= s.Degree:
		return fmt.Sprintf("a SPLINE of degree %d needs at least %d control points and has %d", s.Degree, s.Degree+1, n)
	case len(s.Knots) != n+s.Degree+1:
		return fmt.Sprintf("a SPLINE of degree %d with %d control points needs %d knots and has %d", s.Degree, n, n+s.Degree+1, len(s.Knots))
	case len(s.Weights) != 0 && len(s.Weights) != n:
		return fmt.Sprintf("a SPLINE with %d control points has %d weights", n, len(s.Weights))
	}
	span := s.Knots[len(s.Knots)-1] - s.Knots[0]
	for i := 1; i < len(s.Knots); i++ {
		if s.Knots[i] < s.Knots[i-1] {
			if s.Knots[i-1]-s.Knots[i] > 1e-9*math.Abs(span) {
				return fmt.Sprintf("the knots of this SPLINE fall from %v to %v", s.Knots[i-1], s.Knots[i])
			}
			s.Knots[i] = s.Knots[i-1]
		}
	}
	if !(s.Knots[s.Degree] < s.Knots[n]) || math.IsInf(span, 0) {
		return fmt.Sprintf("the knots of this SPLINE, %v to %v, leave no curve", s.Knots[s.Degree], s.Knots[n])
	}
	if lowest, highest := s.weightRange(); len(s.Weights) > 0 && !(lowest > 0 && highest <= 1e9*lowest) {
		return fmt.Sprintf("the weights of this SPLINE run from %v to %v: they must all be above 0", lowest, highest)
	}
	return ""
}

func (s *Spline) weightRange() (lowest, highest float64) {
	lowest = math.Inf(1)
	for _, w := range s.Weights {
		lowest, highest = min(lowest, w), max(highest, w)
	}
	return lowest, highest
}

// Flatten lays the spline down. Where a control point is too far away to
// compute with, it lays down that point alone.
func (s *Spline) Flatten(m *affine.Map, p *Pen) bool {
	_, highest := s.weightRange()
	control := p.control[:0]
	for i, c := range s.Control {
		q := m.At(c)
		if !(math.Abs(q.X) <= farAway && math.Abs(q.Y) <= farAway) {
			p.to(q)
			return true
		}
		w := 1.0
		if len(s.Weights) > 0 {
			w = s.Weights[i] / highest
		}
		control = append(control, weighted{float64(q.X * w), float64(q.Y * w), w})
	}
	p.control = control
	return p.follow(&bspline{degree: s.Degree, knots: s.Knots, control: control})
}

// Copy gives a spline of its own.
func (s *Spline) Copy() Curve {
	return &Spline{s.Degree, slices.Clone(s.Knots), slices.Clone(s.Control), slices.Clone(s.Weights)}
}

// Parts is the number of knots, control points and weights.
func (s *Spline) Parts() int { return len(s.Knots) + len(s.Control) + len(s.Weights) }

// Interpolation is the cubic spline through points, with the length of its
// chords as its parameter. Start and End are the directions of its ends, zero
// where they are not stated.
type Interpolation struct {
	Through    []vector.XYZ
	Closed     bool
	Start, End vector.XYZ
}

// Flatten lays the spline down. Where a point is too far away to compute with,
// it lays down that point alone; where all are one point, at most one.
func (s *Interpolation) Flatten(m *affine.Map, p *Pen) bool {
	var points []vector.XY
	for _, t := range s.Through {
		q := m.At(t)
		if !(math.Abs(q.X) <= farAway && math.Abs(q.Y) <= farAway) {
			p.to(q)
			return true
		}
		if n := len(points); n == 0 || !Same(points[n-1], q) {
			points = append(points, q)
		}
	}
	if n := len(points); s.Closed && n > 1 && Same(points[n-1], points[0]) {
		points = points[:n-1]
	}
	if len(points) < 2 {
		p.Points = append(p.Points, points...)
		return true
	}
	var ends [2]*vector.XY
	for i, t := range [...]vector.XYZ{s.Start, s.End} {
		v := m.Along(t)
		if length := math.Sqrt(v.Dot(v)); length > 1e-12 && !math.IsInf(length, 0) {
			ends[i] = &vector.XY{X: v.X / length, Y: v.Y / length}
		}
	}
	p.to(points[0])
	var size float64
	for _, q := range points {
		size = max(size, math.Abs(q.X-points[0].X), math.Abs(q.Y-points[0].Y))
	}
	for _, b := range through(points, s.Closed, ends[0], ends[1]) {
		p.cubic(b, p.tolerance(size))
	}
	return true
}

// Copy gives a spline of its own.
func (s *Interpolation) Copy() Curve {
	c := *s
	c.Through = slices.Clone(s.Through)
	return &c
}

// Parts is the number of points.
func (s *Interpolation) Parts() int { return len(s.Through) }

// SameMM is the distance (mm) along x and y within which points are one point.
// It is far below the grid on which a job is planned.
const SameMM = 1e-6

// Same says whether two points are one point.
func Same(p, q vector.XY) bool {
	return math.Abs(p.X-q.X) < SameMM && math.Abs(p.Y-q.Y) < SameMM
}
