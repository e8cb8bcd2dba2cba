package runner

import (
	"math"
	"testing"

	"mahlstick/runner/motion"
	"mahlstick/runner/proof"
	"mahlstick/runner/stroke"
)

// What longer entries leave is told only as far as anything was found bare.
func TestBoundLengthened(t *testing.T) {
	for _, c := range []struct{ missing, first, second float64 }{{10, 3, 1}, {4, 3, 1}, {1, 0.75, 0.25}, {0, 0, 0}} {
		l := &Layer{Plan: &stroke.Plan{Drawn: 100}, Cover: proof.Cover{Missing: c.missing},
			Motion: motion.Plan{Remarks: []stroke.Remark{{Reason: stroke.Lengthened, Area: 3}, {Reason: stroke.Slowed}, {Reason: stroke.Lengthened, Area: 1}}}}
		l.boundLengthened()
		r := l.Motion.Remarks
		if r[0].Area != c.first || r[1].Area != 0 || r[2].Area != c.second || math.Abs(l.Refused()-c.first-c.second) > 1e-9 {
			t.Errorf("%g mm² bare: %g, %g and %g refused", c.missing, r[0].Area, r[1].Area, r[2].Area)
		}
	}
}
