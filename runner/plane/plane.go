// Package plane is the integer grid on which all geometry of a job lies, and
// what can be decided on it exactly.
//
// The grid's step is 0.0001 mm. Coordinates are int32, so that ±214 m fit; an
// A0 sheet needs 24 bits, and the difference of two of its points 25.
package plane

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

// Turn is positive where a, b, c turn left, negative where they turn right,
// zero where they lie on one line: twice the signed area of the triangle, in
// square grid steps. It is exact for points within Limit.
func Turn(a, b, c Point) int64 {
	return (int64(b.X)-int64(a.X))*(int64(c.Y)-int64(a.Y)) - (int64(b.Y)-int64(a.Y))*(int64(c.X)-int64(a.X))
}

// Box is a rectangle with its sides along the axes, edges included.
type Box struct{ Min, Max Point }

// Bounds is the smallest box around the points. There must be at least one.
func Bounds(points []Point) Box {
	b := Box{points[0], points[0]}
	for _, p := range points[1:] {
		b.Min.X, b.Min.Y = min(b.Min.X, p.X), min(b.Min.Y, p.Y)
		b.Max.X, b.Max.Y = max(b.Max.X, p.X), max(b.Max.Y, p.Y)
	}
	return b
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
