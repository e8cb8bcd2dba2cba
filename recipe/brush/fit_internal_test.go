package brush

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The examples of the R manual's page on isoreg (R Core Team); the algorithm
// is that of Ayer and others 1955.
func TestIsotonicExamples(t *testing.T) {
	third := 10.0 / 3
	for _, test := range []struct{ y, want []float64 }{
		{[]float64{1, 0, 4, 3, 3, 5, 4, 2, 0}, []float64{.5, .5, 3, 3, 3, 3, 3, 3, 3}},
		{[]float64{1, 0, 4, 3, 3, 5, 4, 2, 3}, []float64{.5, .5, third, third, third, 3.5, 3.5, 3.5, 3.5}},
		{[]float64{}, []float64{}},
	} {
		weights := make([]float64, len(test.y))
		for i := range weights {
			weights[i] = 1
		}
		got := append([]float64(nil), test.y...)
		isotonic(got, weights)
		for i, want := range test.want {
			if math.Abs(got[i]-want) > 1e-12 {
				t.Errorf("isotonic(%v)[%d] = %v, want %v", test.y, i, got[i], want)
			}
		}
	}
}

// The min-max formula for isotonic regression (T. Robertson, F. Wright,
// R. Dykstra, Order Restricted Statistical Inference, 1988, from memory) gives
// each value directly, though slowly.
func TestIsotonicAgainstMinMaxFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		y, w := make([]float64, n), make([]float64, n)
		for i := range y {
			y[i] = rapid.Float64Range(0, 5).Draw(t, "y")
			w[i] = rapid.Float64Range(0.1, 10).Draw(t, "w")
		}
		got := append([]float64(nil), y...)
		isotonic(got, w)
		for i := range y {
			want := math.Inf(-1)
			for a := 0; a <= i; a++ {
				least := math.Inf(1)
				for b := i; b < n; b++ {
					sum, weight := 0.0, 0.0
					for k := a; k <= b; k++ {
						sum += w[k] * y[k]
						weight += w[k]
					}
					least = min(least, sum/weight)
				}
				want = max(want, least)
			}
			if math.Abs(got[i]-want) > 1e-9 {
				t.Fatalf("isotonic(%v, weights %v)[%d] = %v, want %v", y, w, i, got[i], want)
			}
		}
	})
}
