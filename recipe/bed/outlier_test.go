package bed_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"mahlstick/recipe/bed"
)

// A height that was misread is found, whichever it is, and what the surface would be
// without it is the surface that was touched.
func TestOutlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := make([]float64, 6)
		for i := range c {
			c[i] = rapid.Float64Range(-1, 1).Draw(t, "term")
		}
		height := func(x, y float64) float64 {
			x, y = (x-105)/100, (y-148)/100
			return c[0] + c[1]*x + c[2]*y + c[3]*x*x + c[4]*x*y + c[5]*y*y
		}
		touches := grid(rapid.IntRange(3, 5).Draw(t, "rows"), height)
		for i := range touches { // as they are written down
			touches[i].Height = math.Round(touches[i].Height*1e4) / 1e4
		}
		if o, found := bed.FindOutlier(fit(t, touches)); found {
			t.Fatalf("found %+v where nothing was misread", o)
		}
		wrong := rapid.IntRange(0, len(touches)-1).Draw(t, "touch")
		by := rapid.Float64Range(0.5, 5).Draw(t, "by")
		if rapid.Bool().Draw(t, "down") {
			by = -by
		}
		touches[wrong].Height = math.Round((touches[wrong].Height+by)*1e4) / 1e4
		o, found := bed.FindOutlier(fit(t, touches))
		if !found || o.Touch != wrong {
			t.Fatalf("found %v %+v, misread is %d", found, o, wrong)
		}
		if want := height(touches[wrong].X, touches[wrong].Y); math.Abs(o.Without-want) > 0.001 || o.Others > 0.001 {
			t.Fatalf("%+v, want %g without it", o, want)
		}
	})
}

// On a grid of 3 x 3, a touch in the middle that is 0.9 mm too high raises the surface
// there by 5/9 of that, and lowers it at the middles of the edges: by hand, with the
// products of 1, x and 3x²-2 on -1, 0, 1, the leverage of the middle is 5/9, and the
// three contrasts that are left over have 4/9 of it.
func TestOutlierByHand(t *testing.T) {
	touches := grid(3, func(x, y float64) float64 { return 0.2 })
	touches[4].Height = 1.1
	s := fit(t, touches)
	if left := s.Left(4); math.Abs(left-0.9*4/9) > 1e-12 {
		t.Errorf("%.6f is left over in the middle, want %.6f", left, 0.9*4/9)
	}
	o, found := bed.FindOutlier(s)
	if !found || o.Touch != 4 || math.Abs(o.Without-0.2) > 1e-9 || o.Others > 1e-9 {
		t.Errorf("%v %+v", found, o)
	}
}

// What an outlier says is what a fit of the others finds (gonum's QR decomposition).
func TestOutlierAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	touches := grid(4, func(x, y float64) float64 { return 0.002*x - 0.001*y + 0.03*r.NormFloat64() })
	touches[6].Height += 1.5
	o, found := bed.FindOutlier(fit(t, touches))
	if !found || o.Touch != 6 {
		t.Fatalf("%v %+v", found, o)
	}
	terms := func(k bed.Touch) []float64 { return []float64{1, k.X, k.Y, k.X * k.X, k.X * k.Y, k.Y * k.Y} }
	a, b := mat.NewDense(15, 6, nil), mat.NewVecDense(15, nil)
	row := 0
	for i, k := range touches {
		if i != 6 {
			a.SetRow(row, terms(k))
			b.SetVec(row, k.Height)
			row++
		}
	}
	var x, left mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		t.Fatal(err)
	}
	if want := mat.Dot(mat.NewVecDense(6, terms(touches[6])), &x); math.Abs(o.Without-want) > 1e-3 {
		t.Errorf("%.6f without it, want %.6f", o.Without, want)
	}
	left.MulVec(a, &x)
	left.SubVec(&left, b)
	if want := mat.Norm(&left, math.Inf(1)); math.Abs(o.Others-want) > 1e-3 {
		t.Errorf("the others within %.6f, want %.6f", o.Others, want)
	}
}

// Errors of touching alone are hardly ever called outliers.
func TestOutlierOfErrors(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const sheets = 2000
	n := 0
	for range sheets {
		touches := grid(3, func(x, y float64) float64 { return 0.05 * r.NormFloat64() })
		if _, found := bed.FindOutlier(fit(t, touches)); found {
			n++
		}
	}
	if n > sheets/200 {
		t.Errorf("%d of %d sheets", n, sheets)
	}
}

// Where too few touches are left to tell, or either of two may be the wrong one, none
// is named.
func TestNoOutlier(t *testing.T) {
	corners := []bed.Touch{{X: 10, Y: 10}, {X: 200, Y: 10}, {X: 200, Y: 280}, {X: 10, Y: 280, Height: 3}}
	if o, found := bed.FindOutlier(fit(t, corners)); found {
		t.Errorf("four: %+v", o)
	}
	twice := []bed.Touch{{X: 10, Y: 10}, {X: 200, Y: 10}, {X: 200, Y: 280}, {X: 10, Y: 280, Height: -3}, {X: 10, Y: 280, Height: 3}}
	if o, found := bed.FindOutlier(fit(t, twice)); found {
		t.Errorf("a place that was touched twice, low and high: %+v", o)
	}
}
