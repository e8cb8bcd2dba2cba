package proving

import (
	"math"
	"testing"

	"mahlstick/runner/motion"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// What longer entries leave bare counts only as far as anything was found
// bare, and the remarks of the moves stay as they were.
func TestRemarksOfLongerEntries(t *testing.T) {
	for _, c := range []struct{ missing, first, second float64 }{{10, 3, 1}, {4, 3, 1}, {1, 0.75, 0.25}, {0, 0, 0}} {
		var w stage.Written
		w.Plan = &stroke.Plan{Drawn: 100, Remarks: []stroke.Remark{{Reason: stroke.TooSmall}}}
		w.Motion = motion.Plan{Remarks: []stroke.Remark{{Reason: stroke.Lengthened, Area: 3}, {Reason: stroke.Slowed}, {Reason: stroke.Lengthened, Area: 1}}}
		r := remarks(w, proof.Cover{Missing: c.missing})
		if len(r) != 4 || r[0].Reason != stroke.TooSmall || r[1].Area != c.first || r[2].Area != 0 || r[3].Area != c.second ||
			math.Abs(refused(w.Plan, r)-c.first-c.second) > 1e-9 {
			t.Errorf("%g mm² bare: %+v, %g refused", c.missing, r, refused(w.Plan, r))
		}
		if was := w.Motion.Remarks; was[0].Area != 3 || was[2].Area != 1 {
			t.Errorf("%g mm² bare: the remarks of the moves have become %+v", c.missing, was)
		}
	}
}
