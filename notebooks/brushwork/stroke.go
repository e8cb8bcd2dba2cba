package brushwork

import (
	"math"

	"mahlstick/runner/vector"
)

// Soften limits how fast the half widths of a stroke grow (steepest mm a mm of
// way), in both directions, and then rounds off their kinks in so many rounds.
// way gives the length of way (mm) before point i, from the point before it.
func Soften(half []float64, way func(i int) float64, steepest float64, rounds int) []float64 {
	n := len(half) - 1
	for i := 1; i <= n; i++ {
		half[i] = math.Min(half[i], half[i-1]+Mul(steepest, way(i)))
	}
	for i := n - 1; i >= 0; i-- {
		half[i] = math.Min(half[i], half[i+1]+Mul(steepest, way(i+1)))
	}
	for range rounds {
		soft := append([]float64(nil), half...)
		for i := 1; i < n; i++ {
			soft[i] = (half[i-1] + Mul(2, half[i]) + half[i+1]) / 4
		}
		half = soft
	}
	return half
}

// Outward is the direction from a centre line to the outline of a stroke: to
// the right (side -1) or to the left (+1) of the direction along, where the
// half width grows by so much a mm of path. The outline is the envelope of the
// circles along the centre line.
func Outward(along vector.XY, growth, side float64) vector.XY {
	return along.Times(-growth).Plus(along.Left().Times(Mul(side, math.Sqrt(1-Mul(growth, growth)))))
}
