package presenting

import (
	"fmt"
	"math"
	"testing"

	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
)

// A brush that widens by 0.5 mm for each mm of press: a mark that is 0.2 mm too wide
// was pressed 0.4 mm too deep. The scale has neither gaps nor overlaps, and a
// correction from it leaves the mark within its limits.
func TestScaleOfTheStrip(t *testing.T) {
	b := straightBrush(t)
	for _, bed := range []float64{0, 0.1, 0.4} {
		strip := []motion.StripMark{{Name: "a", Width: 0.6, Press: 1.2}, {Name: "b", Width: 1.4, Press: 2.8}, {Name: "c", Width: 2.4, Press: 4.8}}
		limit := stripTolerance(2.8, b, bed)
		scale := stripScale(strip, b, bed)
		checkScale(t, scale)
		for _, r := range scale[1 : len(scale)-1] {
			from, to := rangeOf(t, r.Width)
			for _, measured := range []float64{from, to} {
				if left := measured - 0.5*raised(t, r.Do) - 1.4; math.Abs(left) > limit+0.01 {
					t.Errorf("bed %g: b measures %g, %s: then it is off by %.3f, allowed %.3f", bed, measured, r.Do, left, limit)
				}
			}
		}
		if len(scale) != 2*scaleRanges+3 {
			t.Errorf("bed %g: %d rows", bed, len(scale))
		}
	}
	if got := stripScale(nil, b, 0); got != nil {
		t.Errorf("without a strip: %v", got)
	}
}

// checkScale checks that a scale leaves no hundredth of a millimetre out.
func checkScale(t *testing.T, scale []logbook.ScaleRange) {
	t.Helper()
	for i := 2; i < len(scale)-1; i++ {
		from, _ := rangeOf(t, scale[i-1].Width)
		if _, to := rangeOf(t, scale[i].Width); math.Abs(from-to-0.01) > 1e-9 {
			t.Errorf("%s is followed by %s", scale[i-1].Width, scale[i].Width)
		}
	}
	for _, i := range []int{0, len(scale) - 1} {
		if scale[i].Do != "anew" {
			t.Errorf("row %d is %+v", i, scale[i])
		}
	}
}

func rangeOf(t *testing.T, text string) (from, to float64) {
	t.Helper()
	if _, err := fmt.Sscanf(text, "%f to %f", &from, &to); err != nil {
		t.Fatal(text, err)
	}
	return from, to
}

// raised is by how much a row says to raise Z zero.
func raised(t *testing.T, do string) float64 {
	t.Helper()
	if do == "leave" {
		return 0
	}
	var word string
	var by float64
	if _, err := fmt.Sscanf(do, "%s %f", &word, &by); err != nil || word != "raise" && word != "lower" {
		t.Fatal(do, err)
	}
	if word == "lower" {
		by = -by
	}
	return by
}
