package measure

import (
	"cmp"
	"math"
	"slices"
)

// Check is a light mark that was pulled after a deep one.
type Check struct {
	After float64 // the press of the deep mark, below the touch
	Width float64 // of the light mark
}

// Safe is the deepest press after which a light mark was as narrow as before: the
// tip had come back to its point. Grew reports that deeper ones widened it;
// otherwise nothing is known of deeper presses. scatter is the standard
// deviation of one mark's width. ok is false for fewer than four checks.
//
// A light mark has grown if it and the next are wider than those after the
// lightest third by more than twice the uncertainty of the difference, or if the
// last is.
func Safe(checks []Check, scatter float64) (safe Estimate, grew, ok bool) {
	if len(checks) < 4 {
		return Estimate{}, false, false
	}
	sorted := slices.Clone(checks)
	slices.SortStableFunc(sorted, func(a, b Check) int { return cmp.Compare(a.After, b.After) })
	n := max(len(sorted)/3, 2)
	base := 0.0
	for _, c := range sorted[:n] {
		base += c.Width / float64(n)
	}
	most := round(base + float64(2*scatter*math.Sqrt(1+1/float64(n))))
	wide := func(i int) bool { return i >= len(sorted) || sorted[i].Width > most }
	for i := n; i < len(sorted); i++ {
		if wide(i) && wide(i+1) {
			low, high := sorted[i-1].After, sorted[i].After
			return Estimate{Value: low, U: (high - low) / math.Sqrt(12), Readings: len(sorted)}.rounded(), true, true
		}
	}
	return Estimate{Value: sorted[len(sorted)-1].After, Readings: len(sorted)}, false, true
}
