package contour_test

import (
	"testing"

	"mahlstick/runner/contour"
)

// The rules by which a point is inside, from the winding number around it:
// W3C, Scalable Vector Graphics (SVG) 2, 13.4.2, "The fill-rule property".
func TestInside(t *testing.T) {
	for _, tt := range []struct {
		winding          int32
		evenOdd, nonZero bool
	}{{0, false, false}, {1, true, true}, {-1, true, true}, {2, false, true}, {-2, false, true}, {3, true, true}, {-3, true, true}} {
		if got := contour.EvenOdd.Inside(tt.winding); got != tt.evenOdd {
			t.Errorf("even-odd, %d times round: %v", tt.winding, got)
		}
		if got := contour.NonZero.Inside(tt.winding); got != tt.nonZero {
			t.Errorf("non-zero, %d times round: %v", tt.winding, got)
		}
	}
}
