package presenting

import (
	"fmt"
	"math"
	"strings"
	"testing"

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
		last := math.NaN()
		for i, r := range scale {
			var from, to, by float64
			if n, _ := fmt.Sscanf(r.Width, "%f to %f", &from, &to); n != 2 {
				if i != 0 && i != len(scale)-1 || r.Do != "anew" {
					t.Errorf("bed %g: row %d is %+v", bed, i, r)
				}
				continue
			}
			if !math.IsNaN(last) && math.Abs(last-to-0.01) > 1e-9 {
				t.Errorf("bed %g: %s is followed by %s", bed, scale[i-1].Width, r.Width)
			}
			last = from
			if r.Do != "leave" {
				if _, err := fmt.Sscanf(r.Do[strings.Index(r.Do, " "):], "%f", &by); err != nil {
					t.Fatal(err)
				}
				if strings.HasPrefix(r.Do, "lower") {
					by = -by
				}
			}
			for _, measured := range []float64{from, to} {
				if left := measured - 0.5*by - 1.4; math.Abs(left) > limit+0.01 {
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
