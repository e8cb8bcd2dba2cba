package presenting

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/checkstrip"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
)

// leastTolerance (mm) is what a caliper can resolve on wet ink. Common
// practice, no source.
const leastTolerance = 0.05

// stripTolerance is by how much (mm) a mark of the check strip, made with a
// press (mm), may differ from what is expected: two standard uncertainties of
// the height, by the brush's slope there, and never less than leastTolerance.
// The height of the bed lies evenly within ± bed (mm).
func stripTolerance(press float64, b *model.Brush, bed float64) float64 {
	slope, err := b.Curve.Slope(press)
	if err != nil {
		return leastTolerance
	}
	return max(leastTolerance, float64(2*slope*heightUncertainty(b, bed)))
}

// heightUncertainty is the standard uncertainty (mm) of the height of a brush
// above the paper.
func heightUncertainty(b *model.Brush, bed float64) float64 {
	return arith.Hypot(b.Touch, bed/math.Sqrt(3))
}

// stripAt describes where the check strip is.
func stripAt(strip []motion.StripMark) string {
	if len(strip) == 0 {
		return ""
	}
	first, last := strip[0], strip[len(strip)-1]
	x0, y0 := first.From.MM()
	x1, y1 := last.To.MM()
	return fmt.Sprintf("from %s to %s on the sheet", format.Page.Place(x0, y0), format.Page.Place(x1, y1))
}

// stripViews are the measured check strips of one impression, by layer.
func stripViews(readings []model.StripReading, job *model.Job) []logbook.Strip {
	var out []logbook.Strip
	for _, m := range checkstrip.Judge(readings, job) {
		s := logbook.Strip{Layer: m.Layer, Advice: m.Sentence(format.Page), Rows: m.Rows()}
		for _, q := range m.Readings {
			r := logbook.StripReading{Mark: q.Mark, Asked: q.Asked, Measured: q.Measured}
			if m.Brush != nil {
				if press, err := m.Brush.Curve.PressFor(q.Asked); err == nil {
					r.Limit = stripTolerance(press, m.Brush, job.Machine.Bed)
				}
			}
			s.Readings = append(s.Readings, r)
		}
		out = append(out, s)
	}
	return out
}
