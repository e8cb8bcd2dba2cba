package contour

import (
	"math"

	"mahlstick/runner/vector"
)

// Stretch is a map of the plane that keeps areas but not lengths: it may skew and
// mirror. The zero value changes nothing.
type Stretch struct{ XX, XY, YX, YY float64 }

// None reports whether a stretch changes nothing.
func (s Stretch) None() bool { return s == Stretch{} }

// At maps a point.
func (s Stretch) At(p vector.XY) vector.XY {
	if s.None() {
		return p
	}
	return vector.XY{X: float64(s.XX*p.X) + float64(s.XY*p.Y), Y: float64(s.YX*p.X) + float64(s.YY*p.Y)}
}

// Inverse is the map back.
func (s Stretch) Inverse() Stretch {
	if s.Mirrors() {
		return Stretch{XX: -s.YY, XY: s.XY, YX: s.YX, YY: -s.XX}
	}
	return Stretch{XX: s.YY, XY: -s.XY, YX: -s.YX, YY: s.XX}
}

// Turned is the stretch, and then a turn counter-clockwise.
func (s Stretch) Turned(cos, sin float64) Stretch {
	return Stretch{
		XX: float64(cos*s.XX) - float64(sin*s.YX), XY: float64(cos*s.XY) - float64(sin*s.YY),
		YX: float64(sin*s.XX) + float64(cos*s.YX), YY: float64(sin*s.XY) + float64(cos*s.YY),
	}
}

// Mirrors reports whether what runs counter-clockwise runs clockwise afterwards.
func (s Stretch) Mirrors() bool { return float64(s.XX*s.YY)-float64(s.XY*s.YX) < 0 }

// Most is the factor by which it stretches the direction that it stretches most. Across
// that it shrinks by as much.
func (s Stretch) Most() float64 {
	if s.None() {
		return 1
	}
	// The factors a and 1/a are the map's singular values, and the sum of their squares
	// is that of the squares of its parts.
	sum := float64(s.XX*s.XX) + float64(s.XY*s.XY) + float64(s.YX*s.YX) + float64(s.YY*s.YY)
	return (math.Sqrt(sum+2) + math.Sqrt(max(0, sum-2))) / 2
}
