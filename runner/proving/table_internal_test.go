package proving

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
)

// However steep a swatch is, the table of the proof is within 0.001 mm of the
// curve, and stays small.
func TestTableIsCloseToTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rungs []brush.Mark
		press, width := 0.0, 0.2
		for range rapid.IntRange(1, 8).Draw(t, "rungs") {
			press += math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "log of the step"))
			width += rapid.Float64Range(0, 2).Draw(t, "growth")
			rungs = append(rungs, brush.Mark{Press: press, Width: width})
		}
		curve, err := brush.Fit(rungs, press+rapid.Float64Range(0.001, 3).Draw(t, "rest"), width+rapid.Float64Range(0.001, 2).Draw(t, "last growth"), 0.2)
		if err != nil {
			t.Skip(err)
		}
		table, err := sampleCurve(&model.Brush{Curve: curve})
		if err != nil {
			t.Fatal(err)
		}
		presses := []float64{0, curve.SafePress()}
		for range 200 {
			presses = append(presses, rapid.Float64Range(0, curve.SafePress()).Draw(t, "press"))
		}
		for _, r := range rungs { // the steepest parts are the shortest
			presses = append(presses, r.Press, r.Press-0.0004, r.Press+0.0003)
		}
		for _, p := range presses {
			if want, err := curve.WidthAt(p); err == nil && math.Abs(table.Width(p)-want) > 0.001 {
				t.Fatalf("at a press of %g mm the table has %g mm, the curve %g mm", p, table.Width(p), want)
			}
		}
		if n := len(table.Rungs()); n > 2000 {
			t.Fatalf("the table has %d rungs", n)
		}
	})
}
