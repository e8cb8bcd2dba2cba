package arith

import (
	"math"
	"math/big"
	"testing"
)

// The standard library is the second opinion.
func TestPowers(t *testing.T) {
	const n = 40000
	for i := range n + 1 {
		x := -30 + 60*float64(i)/n
		if got, want := Exp(x), math.Exp(x); math.Abs(got/want-1) > 6e-16 {
			t.Fatalf("Exp(%v) = %v, math has %v", x, got, want)
		}
		p := math.Exp(x)
		if got, want := Log(p), math.Log(p); math.Abs(got-want) > 5e-16*math.Max(0.25, math.Abs(want)) {
			t.Fatalf("Log(%v) = %v, math has %v", p, got, want)
		}
		for _, y := range []float64{0.7, -0.3, 1.0 / 3, 2.5, -3, 7, 0.5, 65, -7.51} {
			b := 0.01 + 3*float64(i)/n
			if got, want := Pow(b, y), math.Pow(b, y); math.Abs(got/want-1) > 5e-16*math.Max(8, 4*math.Abs(y*math.Log(b))) {
				t.Fatalf("Pow(%v, %v) = %v, math has %v", b, y, got, want)
			}
		}
	}
}

// 3^n fits a float64 exactly up to n = 33.
func TestWholePowersAreExact(t *testing.T) {
	for n := range 34 {
		want, _ := new(big.Float).SetInt(new(big.Int).Exp(big.NewInt(3), big.NewInt(int64(n)), nil)).Float64()
		if got := Pow(3, float64(n)); got != want {
			t.Errorf("3^%d = %v, want %v", n, got, want)
		}
	}
}

func TestPowerEdges(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for _, c := range [][3]float64{
		{0, 0.5, 0}, {0, -0.5, inf}, {0, 0.7, 0}, {0, -0.7, inf}, {2, 0, 1}, {-2, 3, -8}, {-2, -1, -0.5},
		{-1, 0.5, nan}, {-1, 0.7, nan}, {-2, 101, -math.Ldexp(1, 101)}, {9, 0.5, 3}, {4, -1.5, 0.125}, {nan, 2, nan},
	} {
		if got := Pow(c[0], c[1]); got != c[2] && !(math.IsNaN(got) && math.IsNaN(c[2])) {
			t.Errorf("Pow(%v, %v) = %v, want %v", c[0], c[1], got, c[2])
		}
	}
	if !math.IsNaN(Log(-1)) || !math.IsInf(Log(0), -1) || Exp(1000) != inf || Exp(-1000) != 0 || Log(inf) != inf || Exp(0) != 1 || Log(1) != 0 {
		t.Error("limits of Exp and Log")
	}
}
