package arith

import (
	"math"
	"testing"
)

// The standard library is the second opinion; on any one processor it is
// right to about an ulp. The sweep is fixed, so a failure repeats.
func TestAgainstMath(t *testing.T) {
	for name, f := range map[string]struct {
		ours, theirs func(float64) float64
		from, to     float64
	}{
		"sin":  {Sin, math.Sin, -40, 40},
		"cos":  {Cos, math.Cos, -40, 40},
		"tan":  {Tan, math.Tan, -1.5, 1.5},
		"atan": {Atan, math.Atan, -30, 30},
		// math.Asin itself loses digits near ±1.
		"asin":      {Asin, func(x float64) float64 { return math.Atan2(x, math.Sqrt((1-x)*(1+x))) }, -1, 1},
		"acos":      {Acos, func(x float64) float64 { return math.Atan2(math.Sqrt((1-x)*(1+x)), x) }, -1, 1},
		"atan2 y=1": {func(x float64) float64 { return Atan2(1, x) }, func(x float64) float64 { return math.Atan2(1, x) }, -9, 9},
		"hypot 3":   {func(x float64) float64 { return Hypot(3, x) }, func(x float64) float64 { return math.Hypot(3, x) }, -9, 9},
	} {
		const n = 40000
		for i := range n + 1 {
			x := f.from + (f.to-f.from)*float64(i)/n
			got, want := f.ours(x), f.theirs(x)
			if d := math.Abs(got - want); d > 5e-16*math.Max(0.25, math.Abs(want)) {
				t.Fatalf("%s(%v) = %v, math has %v, apart by %g", name, x, got, want, d)
			}
		}
	}
}

func TestExactAngles(t *testing.T) {
	for deg, want := range map[float64][2]float64{
		0: {0, 1}, 90: {1, 0}, 180: {0, -1}, 270: {-1, 0}, -90: {-1, 0}, 360: {0, 1}, 450: {1, 0},
	} {
		if s, c := SinCosDegrees(deg); s != want[0] || c != want[1] {
			t.Errorf("SinCosDegrees(%v) = %v, %v, want %v", deg, s, c, want)
		}
	}
	// BIPM SI Brochure, 9th ed. (2019), table 8 gives the degree; from memory.
	if got := Sin(30 * Pi / 180); math.Abs(got-0.5) > 1e-16 {
		t.Errorf("sine of 30 degrees is %v", got)
	}
}

func TestEdges(t *testing.T) {
	if !math.IsNaN(Sin(1e6)) || !math.IsNaN(Asin(1.0000001)) || !math.IsNaN(Sin(math.Inf(1))) || !math.IsNaN(Atan(math.NaN())) {
		t.Error("an angle without a meaning must be NaN")
	}
	if Atan(math.Inf(1)) != Pi/2 || Atan(math.Inf(-1)) != -Pi/2 || Atan2(0, 0) != 0 || Atan2(0, -1) != Pi {
		t.Error("limits of the arc tangent")
	}
	for _, v := range [][3]float64{{3, 4, 5}, {3e200, 4e200, 5e200}, {3e-200, 4e-200, 5e-200}, {0, -7, 7}} {
		if got := Hypot(v[0], v[1]); math.Abs(got/v[2]-1) > 3e-16 {
			t.Errorf("Hypot(%v, %v) = %v", v[0], v[1], got)
		}
	}
}
