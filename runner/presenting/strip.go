package presenting

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
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
	for _, q := range readings {
		if n := len(out); n == 0 || out[n-1].Layer != q.Layer {
			out = append(out, logbook.Strip{Layer: q.Layer})
		}
		s := &out[len(out)-1]
		s.Readings = append(s.Readings, logbook.StripReading{Mark: q.Mark, Asked: q.Asked, Measured: q.Measured})
	}
	for i := range out {
		for k := range job.Layers {
			if l := &job.Layers[k]; l.Name == out[i].Layer {
				adviseOnStrip(&out[i], l.Brush, job.Machine.Bed)
			}
		}
	}
	return out
}

// adviseOnStrip adds the limits of the marks, and what to do. An error of the
// brush's height is the same for all marks of its strip; so if the marks
// disagree about it, the brush is no longer as its swatch.
func adviseOnStrip(s *logbook.Strip, b *model.Brush, bed float64) {
	good := true
	var tooDeep []float64 // mm, for each mark
	for i := range s.Readings {
		r := &s.Readings[i]
		press, err := b.Curve.PressFor(r.Asked)
		slope, bad := b.Curve.Slope(press)
		if err != nil || bad != nil || slope <= 0 {
			s.Advice = fmt.Sprintf("The brush as measured now does not make a mark of %s: were these marks made with another brush?", format.Page.Length(r.Asked))
			return
		}
		r.Limit = stripTolerance(press, b, bed)
		good = good && r.Good()
		tooDeep = append(tooDeep, pressedTooDeep(r, b, press, slope))
	}
	least, most, sum := math.Inf(1), math.Inf(-1), 0.0
	for _, d := range tooDeep {
		least, most, sum = min(least, d), max(most, d), sum+d
	}
	mean := sum / float64(len(tooDeep))
	switch {
	case good:
		s.Advice = "All marks are within their limits: leave Z zero as it is."
	case most-least > 4*heightUncertainty(b, bed):
		s.Advice = fmt.Sprintf("The marks disagree: the brush seems to be between %s and %s lower than it should be. Measure its swatch again.", signedLength(least), signedLength(most))
	case mean > 0:
		s.Advice = fmt.Sprintf("The marks are too wide: raise Z zero by %s.", format.Page.Length(mean))
	default:
		s.Advice = fmt.Sprintf("The marks are too thin: lower Z zero by %s.", format.Page.Length(-mean))
	}
}

// pressedTooDeep is by how much (mm) a mark was pressed deeper than asked.
func pressedTooDeep(r *logbook.StripReading, b *model.Brush, asked, slope float64) float64 {
	if press, err := b.Curve.PressFor(r.Measured); err == nil {
		return press - asked
	}
	return r.Off() / slope
}

func signedLength(mm float64) string {
	return format.Page.Unit(format.Page.Signed(mm, 2), "mm")
}
