package presenting

import (
	"math"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/checkstrip"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
)

const (
	// scaleRanges is how many ranges of widths the card's scale has on either side
	// of the good one.
	scaleRanges = 3
	// zeroStep (mm) is to what Z zero is corrected: finer is lost in touching off.
	// Common practice, no source.
	zeroStep = 0.05
)

// stripScale is what a measured width of the strip's middle mark says about Z
// zero, from wide to narrow: for the job card, so that no computer is needed at
// the machine. Each range is as wide as what a good mark may be off, so a
// correction for its middle is good for all of it.
func stripScale(strip []motion.StripMark, b *model.Brush, bed float64) []logbook.ScaleRange {
	if len(strip) == 0 {
		return nil
	}
	middle := strip[len(strip)/2]
	hundredth := func(v float64) float64 { return math.Round(100*v) / 100 }
	limit := stripTolerance(middle.Press, b, bed)
	low, high := hundredth(middle.Width-limit), hundredth(middle.Width+limit)
	wide := max(hundredth(limit), 0.02)
	fixed := func(v float64) string { return format.Page.Fixed(v, 2) }
	between := func(from, to float64) string { return fixed(from) + " to " + fixed(to) }
	by := func(from float64, word string) (string, bool) {
		raise, ok := checkstrip.Correction(middle.Width, from+float64(wide/2), b.Curve)
		return word + " " + fixed(max(zeroStep, math.Round(math.Abs(raise)/zeroStep)*zeroStep)), ok
	}
	out := []logbook.ScaleRange{{Width: between(low, high), Do: "leave"}}
	up := high + 0.01
	for range scaleRanges {
		if do, ok := by(up, "raise"); ok {
			out = append([]logbook.ScaleRange{{Width: between(up, up+wide-0.01), Do: do}}, out...)
			up += wide
		}
	}
	down := low - wide
	for range scaleRanges {
		if do, ok := by(down, "lower"); ok && down > 0 {
			out = append(out, logbook.ScaleRange{Width: between(down, down+wide-0.01), Do: do})
			down -= wide
		}
	}
	const again = "anew"
	out = append([]logbook.ScaleRange{{Width: "over " + fixed(up-0.01), Do: again}}, out...)
	return append(out, logbook.ScaleRange{Width: "under " + fixed(down+wide), Do: again})
}
