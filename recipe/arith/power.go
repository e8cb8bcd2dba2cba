package arith

import "math"

// Two parts of ln 2; a product of the first with a small integer is exact
// (W. J. Cody, W. Waite, Software Manual for the Elementary Functions, 1980).
const (
	ln2High = 0x1.62e42feep-1
	ln2Low  = 0x1.a39ef35793c76p-33
)

// Log is the natural logarithm of x to about 1 ulp, NaN below 0, -Inf at 0.
func Log(x float64) float64 {
	switch {
	case math.IsNaN(x) || x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	case math.IsInf(x, 1):
		return x
	}
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = mul(m, 2), e-1
	}
	// ln m = 2 artanh s, and |s| < 0.172: the term left out is below 1e-17.
	s := (m - 1) / (m + 1)
	z := mul(s, s)
	sum := 0.0
	for k := 23; k >= 3; k -= 2 {
		sum = mul(z, 1/float64(k)+sum)
	}
	n := float64(e)
	return mul(n, ln2High) + (mul(2, s) + (mul(mul(2, s), sum) + mul(n, ln2Low)))
}

// Exp is e to the power x, to about 1 ulp.
func Exp(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 709.7:
		return math.Inf(1)
	case x < -745:
		return 0
	}
	n := math.Floor(x/math.Ln2 + 0.5)
	r := x - mul(n, ln2High)
	r -= mul(n, ln2Low)
	sum := 0.0
	for k := 15; k >= 1; k-- {
		sum = mul(r/float64(k), 1+sum)
	}
	return math.Ldexp(1+sum, int(n))
}

// Largest whole exponent that Pow forms by products.
const wholePower = 1024

// Pow is x to the power y: by products for small whole y, with a square root
// for halves, else by Exp and Log, to about 4 |y ln x| ulp. It is NaN for a
// negative x with a y that is not whole.
func Pow(x, y float64) float64 {
	if n := math.Floor(y); math.Abs(y) <= wholePower && (n == y || n+0.5 == y) {
		p := product(x, int(math.Abs(n)))
		if n < 0 {
			p = 1 / p
		}
		if n == y {
			return p
		}
		if x < 0 {
			return math.NaN()
		}
		if x == 0 && y < 0 {
			return math.Inf(1)
		}
		return mul(p, math.Sqrt(x))
	}
	switch {
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	case x < 0:
		if math.Floor(y) != y {
			return math.NaN()
		}
		p := Pow(-x, y)
		if math.Mod(y, 2) != 0 {
			p = -p
		}
		return p
	case x == 0:
		if y < 0 {
			return math.Inf(1)
		}
		return 0
	}
	return Exp(mul(y, Log(x)))
}

func product(x float64, n int) float64 {
	p := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			p = mul(p, x)
		}
		x = mul(x, x)
	}
	return p
}
