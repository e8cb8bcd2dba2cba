package contour_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// A stretch against a library's matrices: its inverse, its largest singular value, and
// what it is after a turn.
func TestStretch(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		draw := func(name string) float64 { return rapid.Float64Range(-3, 3).Draw(r, name) }
		m := mat.NewDense(2, 2, []float64{draw("a"), draw("b"), draw("c"), draw("d")})
		if det := math.Abs(mat.Det(m)); det > 0.01 {
			m.Scale(1/math.Sqrt(det), m)
		} else {
			return
		}
		stretchOf := func(m mat.Matrix) contour.Stretch {
			return contour.Stretch{XX: m.At(0, 0), XY: m.At(0, 1), YX: m.At(1, 0), YY: m.At(1, 1)}
		}
		off := func(a, b contour.Stretch) float64 {
			return math.Max(math.Hypot(a.XX-b.XX, a.XY-b.XY), math.Hypot(a.YX-b.YX, a.YY-b.YY))
		}
		s := stretchOf(m)
		var inverse, turned mat.Dense
		if err := inverse.Inverse(m); err != nil {
			r.Fatal(err)
		}
		sin, cos := math.Sincos(draw("turn"))
		turned.Mul(mat.NewDense(2, 2, []float64{cos, -sin, sin, cos}), m)
		var svd mat.SVD
		svd.Factorize(m, mat.SVDNone)
		p := vector.XY{X: draw("x"), Y: draw("y")}
		var image mat.VecDense
		image.MulVec(m, mat.NewVecDense(2, []float64{p.X, p.Y}))
		switch {
		case off(s.Inverse(), stretchOf(&inverse)) > 1e-9*s.Most():
			r.Errorf("inverse %v, want %v", s.Inverse(), stretchOf(&inverse))
		case off(s.Turned(cos, sin), stretchOf(&turned)) > 1e-12*s.Most():
			r.Errorf("turned %v, want %v", s.Turned(cos, sin), stretchOf(&turned))
		case math.Abs(s.Most()-svd.Values(nil)[0]) > 1e-6:
			r.Errorf("stretches by %v, want %v", s.Most(), svd.Values(nil)[0])
		case vector.Distance(s.At(p), vector.XY{X: image.AtVec(0), Y: image.AtVec(1)}) > 1e-12*s.Most():
			r.Errorf("%v goes to %v, want %v", p, s.At(p), image)
		case s.Mirrors() != (mat.Det(m) < 0):
			r.Errorf("mirrors: %v", s.Mirrors())
		}
	})
	var none contour.Stretch
	p := vector.XY{X: 3, Y: 4}
	if none.At(p) != p || none.Inverse().At(p) != p || !none.Turned(0, 1).None() || none.Most() != 1 || none.Mirrors() {
		t.Error("no stretch changes something")
	}
}
