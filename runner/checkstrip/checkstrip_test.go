package checkstrip_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"mahlstick/recipe/brush"
	"mahlstick/runner/checkstrip"
)

// cone is a curve as a workshop has it: 0.4 mm at the touch, about 1 mm for each
// mm of press, flatter towards the safe press.
func cone(t testing.TB, touch, slope, flat, safe float64) (*brush.Curve, func(float64) float64) {
	t.Helper()
	width := func(p float64) float64 { return touch + slope*p - flat*p*p }
	var marks []brush.Mark
	for p := 0.0; p < safe; p += safe / 10 {
		marks = append(marks, brush.Mark{Press: p, Width: width(p)})
	}
	curve, err := brush.Fit(marks, safe, width(safe), touch)
	if err != nil {
		t.Fatal(err)
	}
	return curve, width
}

var brushes = [][4]float64{{0.4, 1.05, 0.02, 7}, {0.25, 0.62, 0.012, 5}, {0.2, 0.5, 0.01, 5}}

// asked are the widths of the strip's marks: shares of the range.
func asked(curve *brush.Curve) []float64 {
	low, high := curve.Range()
	return []float64{low + 0.25*(high-low), low + 0.55*(high-low), low + 0.9*(high-low)}
}

// The strip is right in 95 of 100 for shifts from 0.3 mm read by calipers, and
// from 0.1 mm by readings that are good to 0.02 mm; and it leaves a good
// touch-off alone. Each brush is simulated with its true curve.
func TestShiftsAreFound(t *testing.T) {
	const tries = 1000
	for _, c := range []struct{ shift, u float64 }{
		{0.3, 0.05}, {-0.3, 0.05}, {0.5, 0.05}, {0.1, 0.02}, {-0.1, 0.02}, {0.2, 0.02}, {0, 0.05}, {0, 0.02},
	} {
		for _, form := range brushes {
			curve, width := cone(t, form[0], form[1], form[2], form[3])
			r := rand.New(rand.NewPCG(7, 11))
			right := 0
			for range tries {
				var readings []checkstrip.Reading
				for _, w := range asked(curve) {
					p, _ := curve.PressFor(w)
					readings = append(readings, checkstrip.Reading{Asked: w, Measured: width(p+c.shift) + c.u*r.NormFloat64(), U: c.u})
				}
				f, ok := checkstrip.Decide(readings, curve)
				if !ok {
					t.Fatal("no finding")
				}
				if c.shift == 0 && f.Cause == checkstrip.Nothing || c.shift != 0 && f.Cause == checkstrip.Touch && math.Abs(f.Shift-c.shift) <= 3*f.ShiftU {
					right++
				}
			}
			t.Logf("brush %v, shift %g, readings good to %g: right in %.1f of 100", form, c.shift, c.u, 100*float64(right)/tries)
			if right < 0.95*tries {
				t.Errorf("brush %v, shift %g, readings good to %g: right in %d of %d", form, c.shift, c.u, right, tries)
			}
		}
	}
}

// A brush that has lost a fifth of its width is hardly ever called a wrong
// touch-off by good readings.
func TestWornBrushIsFound(t *testing.T) {
	const tries = 2000
	for _, form := range brushes {
		curve, width := cone(t, form[0], form[1], form[2], form[3])
		r := rand.New(rand.NewPCG(3, 5))
		worn, touch := 0, 0
		for range tries {
			var readings []checkstrip.Reading
			for _, w := range asked(curve) {
				p, _ := curve.PressFor(w)
				readings = append(readings, checkstrip.Reading{Asked: w, Measured: 0.8*width(p) + 0.02*r.NormFloat64(), U: 0.02})
			}
			f, _ := checkstrip.Decide(readings, curve)
			switch f.Cause {
			case checkstrip.Brush:
				worn++
				if math.Abs(f.Ratio-0.8) > 4*f.RatioU || f.Sure < 0.5 {
					t.Errorf("ratio %g ± %g, sure %g", f.Ratio, f.RatioU, f.Sure)
				}
			case checkstrip.Touch:
				touch++
			}
		}
		if worn < 0.95*tries || touch > 0.01*tries {
			t.Errorf("brush %v: worn found in %d, taken for the touch-off in %d of %d", form, worn, touch, tries)
		}
	}
}

// Readings that neither explains are to be measured again.
func TestReadingsThatFitNothing(t *testing.T) {
	curve, _ := cone(t, 0.4, 1.05, 0.02, 7)
	a := asked(curve)
	f, ok := checkstrip.Decide([]checkstrip.Reading{{a[0], a[0] + 0.6, 0.05}, {a[1], a[1] - 0.5, 0.05}, {a[2], a[2] + 0.6, 0.05}}, curve)
	if !ok || f.Cause != checkstrip.Neither {
		t.Errorf("%+v", f)
	}
	if _, ok := checkstrip.Decide([]checkstrip.Reading{{99, 99, 0.05}}, curve); ok {
		t.Error("a mark wider than the brush was judged")
	}
	if _, ok := checkstrip.Decide(nil, curve); ok {
		t.Error("no readings were judged")
	}
}

// The printed 99.9 % points against a library.
func TestChiSquarePoints(t *testing.T) {
	for n, want := range []float64{10.828, 13.816, 16.266, 18.467, 20.515, 22.458, 24.322, 26.124} {
		if got := (distuv.ChiSquared{K: float64(n + 1)}).Quantile(0.999); math.Abs(got-want) > 0.0006 {
			t.Errorf("%d: %g, printed %g", n+1, got, want)
		}
	}
}

// A mark 0.2 mm too wide, where a mm of press makes 0.5 mm of width, was pressed
// 0.4 mm too deep.
func TestCorrection(t *testing.T) {
	curve, err := brush.Fit(nil, 6, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ asked, measured, want float64 }{{1, 1.2, 0.4}, {1, 0.9, -0.2}, {2.9, 3.1, 0.4}} {
		if got, ok := checkstrip.Correction(c.asked, c.measured, curve); !ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %g", c, got)
		}
	}
	if _, ok := checkstrip.Correction(9, 1, curve); ok {
		t.Error("a mark wider than the brush has a correction")
	}
}
