// Package checkstrip decides what the measured check strip of a layer means: that
// the brush was touched off too low or too high, or that the brush itself has
// changed, as far as the readings tell the two apart.
//
// A wrong touch-off shifts the press of all marks by the same amount; a worn, a
// spread or a badly loaded brush changes all widths in proportion. Both are
// fitted to the readings by weighted least squares; their sums of squares are
// compared with the chi-square distribution and with each other.
package checkstrip

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
)

// Reading is a mark of a check strip, in mm: the width that was asked for, the
// measured one and the standard uncertainty of measuring it.
type Reading struct{ Asked, Measured, U float64 }

// Cause is what explains the readings.
type Cause int8

// The causes.
const (
	Nothing    Cause = iota // the marks are as they should be
	Touch                   // the brush was touched off too low or too high
	Brush                   // the brush makes other widths than its swatch
	CannotTell              // either of the two
	Neither                 // neither of the two explains the readings
)

// Finding is what a strip means. Lengths in mm.
type Finding struct {
	Cause Cause
	// Shift is by how much the brush was pressed deeper than asked, if the
	// touch-off explains the readings; ShiftU is its standard uncertainty.
	Shift, ShiftU float64
	// Ratio is how many times as wide as asked the marks are, if the brush
	// explains the readings.
	Ratio, RatioU float64
	// Sure is the probability, from 0 to 1, that the cause is the right one of
	// the two, where a wrong touch-off is touchOften times as frequent as a
	// changed brush; 0 for the causes that are none of them.
	Sure float64
}

// A wrong touch-off is this many times as frequent as a brush that has changed;
// common practice, no source.
const touchOften = 10

// Differences of the sums of squares: below tellApart the readings do not say
// that it is the brush, from certain on they do. The first is 2 ln(touchOften),
// where both are as likely; the second makes the brush ten times as likely.
const (
	tellApart = 4.605
	certain   = 9.21
)

// fits are the 99.9 % points of the chi-square distribution for 1, 2, ...
// degrees of freedom, from the printed tables (checked in the tests).
var fits = [...]float64{10.828, 13.816, 16.266, 18.467, 20.515, 22.458, 24.322, 26.124}

// explains reports whether a sum of squares with so many readings and one fitted
// value is as small as it is in 999 of 1,000 cases.
func explains(chi float64, readings int) bool {
	free := min(readings-1, len(fits))
	return free < 1 || chi <= fits[free-1]
}

// Decide returns the cause of what was measured. ok is false if there are no
// readings, or the brush makes no mark as wide as one that was asked for.
func Decide(readings []Reading, curve *brush.Curve) (f Finding, ok bool) {
	var presses []float64
	for _, r := range readings {
		p, err := curve.PressFor(r.Asked)
		if err != nil || r.U <= 0 {
			return f, false
		}
		presses = append(presses, p)
	}
	if len(readings) == 0 {
		return f, false
	}
	touch := f.fitShift(readings, presses, curve)
	ratio := f.fitRatio(readings)
	byTouch, byBrush := explains(touch, len(readings)), explains(ratio, len(readings))
	better := touch - ratio // by how much the brush explains more than the touch-off
	odds := float64(touchOften * arith.Exp(max(-50, min(50, -better/2))))
	f.Sure = odds / (1 + odds)
	switch {
	case byTouch && math.Abs(f.Shift) <= 2*f.ShiftU && better < certain:
		f.Cause, f.Sure = Nothing, 0
	case byTouch && (better < tellApart || !byBrush):
		f.Cause = Touch
	case byTouch && better < certain:
		f.Cause, f.Sure = CannotTell, 0
	case byBrush && math.Abs(f.Ratio-1) > 2*f.RatioU:
		f.Cause, f.Sure = Brush, 1-f.Sure
	default:
		f.Cause, f.Sure = Neither, 0
	}
	return f, true
}

// fitShift fits the same shift of press to all marks by Newton's method and
// returns the weighted sum of squares that is left.
func (f *Finding) fitShift(readings []Reading, presses []float64, curve *brush.Curve) float64 {
	const steps = 30 // far more than are needed; always the same number
	left, weight := 0.0, 0.0
	for range steps {
		sum := 0.0
		left, weight = 0, 0
		for i, r := range readings {
			width, slope := extended(curve, presses[i]+f.Shift)
			off, by := (r.Measured-width)/r.U, slope/r.U
			sum += float64(off * by)
			weight += float64(by * by)
			left += float64(off * off)
		}
		if weight <= 0 {
			break
		}
		f.Shift += sum / weight
	}
	if weight > 0 {
		f.ShiftU = 1 / math.Sqrt(weight)
	}
	return left
}

// fitRatio fits the same ratio of widths to all marks and returns the weighted
// sum of squares that is left.
func (f *Finding) fitRatio(readings []Reading) float64 {
	product, square := 0.0, 0.0
	for _, r := range readings {
		product += float64(r.Measured*r.Asked) / float64(r.U*r.U)
		square += float64(r.Asked*r.Asked) / float64(r.U*r.U)
	}
	f.Ratio, f.RatioU = product/square, 1/math.Sqrt(square)
	left := 0.0
	for _, r := range readings {
		off := (r.Measured - float64(f.Ratio*r.Asked)) / r.U
		left += float64(off * off)
	}
	return left
}

// extended is the width at a press and the slope there. Beyond the curve it goes
// on straight, as marks that were pressed too deep or too lightly do nearly.
func extended(curve *brush.Curve, press float64) (width, slope float64) {
	marks := curve.Marks()
	at := max(marks[0].Press, min(press, curve.SafePress()))
	width, err := curve.WidthAt(at)
	if err != nil {
		return 0, 0
	}
	slope, err = curve.Slope(at)
	if err != nil {
		return width, 0
	}
	return max(0, width+float64(slope*(press-at))), slope
}

// Correction is by how much (mm) Z zero has to be raised, or lowered where it is
// negative, if a mark was measured instead of the asked width.
func Correction(asked, measured float64, curve *brush.Curve) (float64, bool) {
	press, err := curve.PressFor(asked)
	if err != nil {
		return 0, false
	}
	if deep, err := curve.PressFor(measured); err == nil {
		return deep - press, true
	}
	slope, err := curve.Slope(press)
	if err != nil || slope <= 0 {
		return 0, false
	}
	return (measured - asked) / slope, true
}
