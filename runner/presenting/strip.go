package presenting

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/motion"
)

// leastTolerance (mm) is what callipers can read on wet ink; common practice, no
// source.
const leastTolerance = 0.05

// stripTolerance is by how much (mm) a mark of the check strip may differ from
// what is expected: two standard uncertainties of the height, by the brush's
// slope there, and never less than leastTolerance. The height of the bed lies
// evenly within ± bed (mm).
func stripTolerance(k motion.StripMark, b *model.Brush, bed float64) float64 {
	slope, err := b.Curve.Slope(k.Press)
	if err != nil {
		return leastTolerance
	}
	u := arith.Hypot(b.Touch, bed/math.Sqrt(3))
	return max(leastTolerance, float64(2*slope*u))
}

// stripDepth is how much more press (mm) makes the strip's middle mark 0.1 mm
// wider.
func stripDepth(strip []motion.StripMark, b *model.Brush) float64 {
	if len(strip) == 0 {
		return 0
	}
	slope, err := b.Curve.Slope(strip[len(strip)/2].Press)
	if err != nil || slope <= 0 {
		return 0
	}
	return 0.1 / slope
}

// stripAt says where the check strip is.
func stripAt(strip []motion.StripMark) string {
	if len(strip) == 0 {
		return ""
	}
	first, last := strip[0], strip[len(strip)-1]
	x0, y0 := first.From.MM()
	x1, y1 := last.To.MM()
	return fmt.Sprintf("from %s to %s on the sheet", format.Page.Place(x0, y0), format.Page.Place(x1, y1))
}
