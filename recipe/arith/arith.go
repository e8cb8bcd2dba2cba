// Package arith computes roots and angles with the same bits on every
// processor.
//
// The curved functions of the standard library use assembly or fused
// multiply-adds on some processors and not on others, so their last bits
// differ. Everything here is built from sums, differences, quotients, square
// roots and products that are converted explicitly, which the language
// forbids to fuse. Angles are in radians unless a name says degrees.
package arith

import "math"

// Pi is the ratio of a circle's circumference to its diameter.
const Pi = math.Pi

// Three parts of π/2 whose products with a small integer are exact (W. J.
// Cody, W. Waite, Software Manual for the Elementary Functions, 1980).
const (
	halfPiHigh = 0x1.921fb544p+0
	halfPiMid  = 0x1.0b4611a6p-34
	halfPiLow  = 0x1.3198a2e037073p-69
)

func mul(a, b float64) float64 { return float64(a * b) }

// Largest angle (rad) that is reduced without loss; beyond it Sin and Cos
// answer NaN rather than something imprecise.
const largestAngle = 1e5

// reduce splits x (rad) into a number of quarter turns and a rest within ±π/4.
func reduce(x float64) (quarter int, rest float64) {
	n := math.Floor(float64(x/(Pi/2)) + 0.5)
	r := x - mul(n, halfPiHigh)
	r -= mul(n, halfPiMid)
	r -= mul(n, halfPiLow)
	return int(int64(n) & 3), r
}

// Taylor coefficients; at π/4 the first term left out is below 1e-17.
var (
	sinTerms = [...]float64{-1.0 / 6, 1.0 / 120, -1.0 / 5040, 1.0 / 362880, -1.0 / 39916800, 1.0 / 6227020800, -1.0 / 1307674368000}
	cosTerms = [...]float64{1.0 / 24, -1.0 / 720, 1.0 / 40320, -1.0 / 3628800, 1.0 / 479001600, -1.0 / 87178291200, 1.0 / 20922789888000}
)

func horner(terms []float64, z float64) float64 {
	sum := 0.0
	for i := len(terms) - 1; i >= 0; i-- {
		sum = terms[i] + mul(z, sum)
	}
	return sum
}

func smallSin(r float64) float64 {
	z := mul(r, r)
	return r + mul(mul(r, z), horner(sinTerms[:], z))
}

func smallCos(r float64) float64 {
	z := mul(r, r)
	half := mul(0.5, z)
	whole := 1 - half
	// (1-whole)-half is what the difference above rounded away.
	return whole + ((1 - whole - half) + mul(mul(z, z), horner(cosTerms[:], z)))
}

// SinCos is the sine and the cosine of x (rad), to about 1 ulp up to 1e5 rad;
// NaN beyond. The series are Taylor's, after a reduction by Cody and Waite.
func SinCos(x float64) (sin, cos float64) {
	if !(math.Abs(x) <= largestAngle) {
		return math.NaN(), math.NaN()
	}
	quarter, r := reduce(x)
	return turned(quarter, smallSin(r), smallCos(r))
}

// turned is the sine and the cosine of an angle and some quarter turns.
func turned(quarters int, sin, cos float64) (float64, float64) {
	switch quarters & 3 {
	case 0:
		return sin, cos
	case 1:
		return cos, -sin
	case 2:
		return -sin, -cos
	default:
		return -cos, sin
	}
}

// Sin is the sine of x (rad), with the error and the range of SinCos.
func Sin(x float64) float64 { s, _ := SinCos(x); return s }

// Cos is the cosine of x (rad), with the error and the range of SinCos.
func Cos(x float64) float64 { _, c := SinCos(x); return c }

// Tan is the tangent of x (rad), Sin over Cos, to about 3 ulp; NaN beyond 1e5
// rad.
func Tan(x float64) float64 { s, c := SinCos(x); return s / c }

// SinCosDegrees is the sine and the cosine of x (degrees), exact at multiples of
// 90.
func SinCosDegrees(x float64) (sin, cos float64) {
	x = math.Mod(x, 360)
	n := math.Floor(x/90 + 0.5)
	s, c := SinCos(mul(x-mul(90, n), Pi/180))
	return turned(int(n), s, c)
}

// Hypot is the length of the vector (x, y), to about 1 ulp, without overflow.
func Hypot(x, y float64) float64 {
	x, y = math.Abs(x), math.Abs(y)
	if x < y {
		x, y = y, x
	}
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(y) {
		return x + y
	}
	if x > 1e-140 && x < 1e140 && y > 1e-140 || y == 0 {
		return math.Sqrt(mul(x, x) + mul(y, y))
	}
	q := y / x
	return mul(x, math.Sqrt(1+mul(q, q)))
}

// Atan is the arc tangent of x in rad, within ±π/2, to about 1 ulp.
func Atan(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	if x < 0 {
		return -Atan(-x)
	}
	if x > 1 {
		if math.IsInf(x, 0) {
			return Pi / 2
		}
		return (halfPi - atan01(1/x)) + halfPiRest
	}
	return atan01(x)
}

const (
	halfPi     = math.Pi / 2
	halfPiRest = 6.123233995736766e-17 // π/2 - halfPi
)

// Arc tangents of n/16, to 64 bits in the constant, rounded by the compiler.
var sixteenths = [17]float64{
	0, 0.06241880999595734847, 0.12435499454676143503, 0.18534794999569476488,
	0.24497866312686415417, 0.30288486837497140556, 0.35877067027057222040, 0.41241044159738732689,
	0.46364760900080611621, 0.51238946031073770666, 0.55859931534356243597, 0.60228734613496418168,
	0.64350110879328438680, 0.68231655487474807826, 0.71882999962162450542, 0.75315128096219438952,
	0.78539816339744830962,
}

// atan01 is the arc tangent for 0 <= x <= 1, by the nearest sixteenth and the
// series of the small rest.
func atan01(x float64) float64 {
	n := math.Floor(mul(x, 16) + 0.5)
	c := n / 16
	t := (x - c) / (1 + mul(x, c))
	z := mul(t, t)
	series := mul(mul(t, z), -1.0/3+mul(z, 1.0/5+mul(z, -1.0/7+mul(z, 1.0/9+mul(z, -1.0/11)))))
	return sixteenths[int(n)] + (t + series)
}

// Atan2 is the angle in rad of the vector (x, y) from the x axis, within ±π, to
// about 2 ulp. The angle of the zero vector is 0.
func Atan2(y, x float64) float64 {
	switch {
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	case x == 0 && y == 0:
		return 0
	case math.Abs(y) > math.Abs(x):
		return math.Copysign(halfPi, y) - Atan(x/y)
	case x > 0:
		return Atan(y / x)
	case y < 0:
		return Atan(y/x) - Pi
	default:
		return Atan(y/x) + Pi
	}
}

// Asin is the arc sine of x in rad, to about 2 ulp; NaN outside ±1.
func Asin(x float64) float64 {
	if !(math.Abs(x) <= 1) {
		return math.NaN()
	}
	return Atan2(x, math.Sqrt(mul(1-x, 1+x)))
}

// Acos is the arc cosine of x in rad, to about 2 ulp; NaN outside ±1.
func Acos(x float64) float64 {
	if !(math.Abs(x) <= 1) {
		return math.NaN()
	}
	return Atan2(math.Sqrt(mul(1-x, 1+x)), x)
}
