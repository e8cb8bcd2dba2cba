// Package plane is the integer grid on which all geometry of a job lies, and
// what can be decided on it exactly.
//
// The grid's step is 0.0001 mm. Coordinates are int32, so that ±214 m fit; an
// A0 sheet needs 24 bits, and the difference of two of its points 25.
package plane

import (
	"cmp"
	"math"

	"mahlstick/runner/vector"
)

// PerMM is the number of grid steps in a millimetre.
const PerMM = 10000

// Limit bounds the coordinates of a job: ±10 m. Drawings beyond are refused,
// so that no exact computation can overflow.
const Limit = 10000 * PerMM

// Point is a point of the grid.
type Point struct{ X, Y int32 }

// MM is a length of n grid steps in mm.
func MM(n int32) float64 { return float64(n) / PerMM }

// Snap is the grid's coordinate nearest to v mm, halves away from zero. The
// caller has checked that v is finite and within Limit.
func Snap(v float64) int32 {
	v = float64(v * PerMM)
	if v < 0 {
		return -int32(0.5 - v)
	}
	return int32(v + 0.5)
}

// At is the grid point nearest to (x, y) mm.
func At(x, y float64) Point { return Point{Snap(x), Snap(y)} }

// MM gives the point's coordinates in mm.
func (p Point) MM() (x, y float64) { return MM(p.X), MM(p.Y) }

// XY is the point in floating numbers, still in grid steps.
func (p Point) XY() vector.XY { return vector.XY{X: float64(p.X), Y: float64(p.Y)} }

// Compare orders points from left to right, and from below where they stand
// one above the other.
func (p Point) Compare(q Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) }

// Round is the whole number of grid steps nearest to v, halves upwards.
func Round(v float64) int32 { return int32(math.Floor(v + 0.5)) }

// Lerp is the coordinate a share t of the way from a to b, on the grid.
func Lerp(a, b int32, t float64) int32 { return Round(vector.Lerp(float64(a), float64(b), t)) }

// Distance of two points within Limit, in grid steps. The square is exact, the
// root correctly rounded.
func Distance(p, q Point) float64 {
	dx, dy := int64(p.X)-int64(q.X), int64(p.Y)-int64(q.Y)
	return math.Sqrt(float64(dx*dx + dy*dy))
}

// Turn is positive where a, b, c turn left, negative where they turn right,
// zero where they lie on one line: twice the signed area of the triangle, in
// square grid steps. It is exact for points within Limit.
func Turn(a, b, c Point) int64 {
	return (int64(b.X)-int64(a.X))*(int64(c.Y)-int64(a.Y)) - (int64(b.Y)-int64(a.Y))*(int64(c.X)-int64(a.X))
}

// Area2 is twice the signed area of a closed ring, positive when it runs
// counter-clockwise, in square grid steps.
func Area2(ring []Point) int64 {
	var sum int64
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += int64(p.X)*int64(q.Y) - int64(p.Y)*int64(q.X)
	}
	return sum
}

// Inside reports whether a point lies within rings, taken together by the
// even-odd rule, as a region's outer ring and holes are. A point on an edge is
// taken for one to the right of it, or above.
func Inside(p Point, rings ...[]Point) bool {
	in := false
	for _, ring := range rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			// The edges that a line straight down from p meets.
			if (a.X <= p.X) != (b.X <= p.X) {
				if turn := Turn(a, b, p); turn > 0 && a.X <= p.X || turn < 0 && a.X > p.X {
					in = !in
				}
			}
			a = b
		}
	}
	return in
}
