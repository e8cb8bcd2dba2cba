package register

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/vector"
)

func points(v ...float64) []vector.XY {
	var out []vector.XY
	for i := 0; i < len(v); i += 2 {
		out = append(out, vector.XY{X: v[i], Y: v[i+1]})
	}
	return out
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// The worked example of S. Umeyama, IEEE PAMI 13 (1991) 376-380: the best turn
// is the same with and without scale; shift and residual without scale were
// recomputed by two methods. A mirror would leave nothing over.
func TestRigidUmeyama(t *testing.T) {
	from, to := points(0, 0, 1, 0, 0, 2), points(0, 0, -1, 0, 0, 2)
	r := rigid(from, to)
	near(t, "cos", r.cos, 3/math.Sqrt(13), 1e-12)
	near(t, "sin", r.sin, -2/math.Sqrt(13), 1e-12)
	near(t, "dx", r.dx, -0.98048356, 1e-8)
	near(t, "dy", r.dy, 0.29686654, 1e-8)
	near(t, "rms", r.rms, 0.787245190, 1e-8)
	near(t, "determinant", r.cos*r.cos+r.sin*r.sin, 1, 1e-12)
	near(t, "rms of the mirror", mirrored(from, to).rms, 0, 1e-12)
}

// Constructed cases, recomputed by closed form.
func TestRigidConstructed(t *testing.T) {
	a4 := points(10, 10, 200, 10, 200, 287, 10, 287)
	square := points(100, 100, -100, 100, -100, -100, 100, -100)
	for _, test := range []struct {
		name                    string
		from, to                []vector.XY
		cos, sin, dx, dy, rms   float64
		tolerance, rmsTolerance float64
	}{
		{"turned by the triangle 3, 4, 5 and moved", a4, points(14, 7, 166, 121, -0.2, 342.6, -152.2, 228.6),
			0.8, 0.6, 12, -7, 0, 1e-12, 1e-12},
		{"one mark 1 mm off", square, points(101, 100, -100, 100, -100, -100, 100, -100),
			math.Cos(-0.001248438802), math.Sin(-0.001248438802), 0.25, 0, 0.395334069, 1e-6, 1e-6},
		{"grown by 0.2 %", square, points(100.2, 100.2, -100.2, 100.2, -100.2, -100.2, 100.2, -100.2),
			1, 0, 0, 0, 0.282842712475, 1e-12, 1e-9},
		{"one mark only", points(3, 4), points(10, 20), 1, 0, 7, 16, 0, 0, 0},
		{"all in one place", points(3, 4, 3, 4), points(10, 20, 10, 20), 1, 0, 7, 16, 0, 0, 0},
	} {
		r := rigid(test.from, test.to)
		near(t, test.name+": cos", r.cos, test.cos, test.tolerance)
		near(t, test.name+": sin", r.sin, test.sin, test.tolerance)
		near(t, test.name+": dx", r.dx, test.dx, test.tolerance)
		near(t, test.name+": dy", r.dy, test.dy, test.tolerance)
		near(t, test.name+": rms", r.rms, test.rms, test.rmsTolerance)
	}
	near(t, "spread", spread(points(100.2, 100.2, -100.2, -100.2), points(100, 100, -100, -100)), 1.002, 1e-12)
}

// Degrees of freedom: N marks read to s an axis leave (2N-3)·s² and a turn
// uncertain by s/√Σr² (the plane's case of Fitzpatrick, West, Maurer 1998).
func TestRigidStatistics(t *testing.T) {
	const s, fits = 0.1, 20000
	a4 := points(10, 10, 200, 10, 200, 287, 10, 287)
	random := rand.New(rand.NewPCG(1, 2))
	var squares, turns float64
	read := make([]vector.XY, len(a4))
	for range fits {
		for i, p := range a4 {
			read[i] = vector.XY{X: p.X + s*random.NormFloat64(), Y: p.Y + s*random.NormFloat64()}
		}
		r := rigid(a4, read)
		squares += r.rms * r.rms * float64(len(a4))
		turns += r.sin * r.sin
	}
	near(t, "mean sum of squares", squares/fits, 0.05, 0.05*0.02)
	near(t, "deviation of the turn", math.Sqrt(turns/fits), 0.000297707, 0.000297707*0.02)
}

// No turn and shift near the one found does better.
func TestRigidIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-300, 300)
		n := rapid.IntRange(2, 6).Draw(t, "n")
		var from, to []vector.XY
		for range n {
			from = append(from, vector.XY{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")})
			to = append(to, vector.XY{X: coordinate.Draw(t, "X"), Y: coordinate.Draw(t, "Y")})
		}
		best := rigid(from, to)
		angle := math.Atan2(best.sin, best.cos)
		for _, d := range [][3]float64{{1e-3, 0, 0}, {-1e-3, 0, 0}, {0, 0.1, 0}, {0, 0, -0.1}, {2, 0, 0}, {3.1, 1, 1}} {
			other := transform{cos: math.Cos(angle + d[0]), sin: math.Sin(angle + d[0]), dx: best.dx + d[1], dy: best.dy + d[2]}
			if rms := residual(other.apply, from, to); rms < best.rms-1e-9 {
				t.Fatalf("%v leaves %v mm, the fit %v mm", d, rms, best.rms)
			}
		}
	})
}
