package formula

import "math"

// defaultWave is the wavelength (mm) of a tremor without one: about that of an
// unsteady hand at painting speed. Common practice, no source.
const defaultWave = 8.0

// lengthGrid is the step (mm) to which a stroke's length is rounded before it
// enters the tremor, so that a rounding error in the length changes nothing.
const lengthGrid = 0.1

// tremor is smooth noise between -1 and 1 at a point of a stroke: values at
// whole wavelengths, drawn by hashing, joined by the polynomial
// 6t⁵ - 15t⁴ + 10t³ (K. Perlin, Improving noise, SIGGRAPH 2002). All lengths
// in mm. Each stroke, identified by its number and length, has its own noise.
func tremor(seed uint64, number int, fromStart, length, wave float64) float64 {
	stroke := scramble(seed) ^ uint64(int64(math.RoundToEven(length/lengthGrid))) ^ uint64(number)<<40
	t := fromStart / wave
	whole := math.Floor(t)
	t -= whole
	at := uint64(int64(whole))
	a, b := draw(stroke, at), draw(stroke, at+1)
	inner := float64(t*(float64(6*t)-15)) + 10
	smooth := float64(float64(float64(t*t)*t) * inner)
	return a + float64((b-a)*smooth)
}

// draw is a pseudo-random number from -1 up to 1 that depends only on the stroke
// and the place.
func draw(stroke, at uint64) float64 {
	return float64(scramble(scramble(stroke)+at)>>11)/(1<<52) - 1
}

// scramble is the finishing step of SplitMix64 (G. L. Steele, D. Lea, C. H.
// Flood, OOPSLA 2014, 453-472).
func scramble(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
