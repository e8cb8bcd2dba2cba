package measure

import "math"

// What the trials of a swatch sheet paint, in the order of painting.
var (
	// RingRadii (mm) are those of the rings of one press: small ones show the lag
	// best, as long as they are larger than it.
	RingRadii = [...]float64{4, 8, 16}
	// HeldShares are the times for which dots are held, as shares of the longest:
	// 0, ¼, ½, 1, 2 and 4 s if that is 4 s.
	HeldShares = [...]float64{0, 1.0 / 16, 1.0 / 8, 1.0 / 4, 1.0 / 2, 1}
)

// RampStations is at how many places of one ramp the width is read: half of them
// on the way down, one in the middle, and half on the way up.
const RampStations = 9

// TouchScatter is the standard deviation of touching off, from the widths of dots
// that were each touched off anew: their scatter beyond that of marks of one
// height, over the slope of the curve. Its own uncertainty is that of a standard
// deviation of so many (JCGM 100:2008, E.4.3).
func TouchScatter(widths []float64, scatter, slope float64) Estimate {
	squares := square(Deviation(widths)) - square(scatter)
	value := math.Sqrt(max(squares, 0)) / slope
	n := float64(len(widths))
	if n < 2 {
		return Estimate{}
	}
	return Estimate{Value: value, U: max(value, scatter/slope) / math.Sqrt(2*(n-1)), Readings: len(widths)}.rounded()
}
