package measure

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/recipe/arith"
)

// Ring is a circle that the brush's axis went round, and the radius of the one that
// it painted with its standard uncertainty, all in mm.
type Ring struct{ Press, Radius, Painted, U float64 }

// Corner is a corner at which the brush's axis turned by an angle in degrees, and
// how far (mm) the middle of the mark missed it, with its standard uncertainty.
type Corner struct{ Press, Turn, Missed, U float64 }

// LagAt is how far the mark trails at a press.
type LagAt struct {
	Press float64
	Lag   Estimate
}

// Lags finds the lag at each press that rings and corners were painted with, by
// rising press.
//
// A mark that is towed at a distance along a circle runs on a smaller one: the
// squares of painted radius and lag add up to that of the axis (a right angle;
// the tractrix of a circle). It misses a corner by a share of the lag that depends
// on the angle alone.
func Lags(rings []Ring, corners []Corner) []LagAt {
	type sum struct {
		press, weighted, weight float64
		n                       int
	}
	var sums []sum
	add := func(press, squared, uSquared float64) {
		w := 1 / square(uSquared)
		for i := range sums {
			if sums[i].press == press {
				sums[i].weighted += float64(w * squared)
				sums[i].weight += w
				sums[i].n++
				return
			}
		}
		sums = append(sums, sum{press, float64(w * squared), w, 1})
	}
	for _, r := range rings {
		// Squares are averaged, not lags: a radius read too large makes one negative.
		add(r.Press, square(r.Radius)-square(r.Painted), 2*r.Radius*r.U)
	}
	for _, c := range corners {
		if share := MissedShare(c.Turn); share > 0 {
			lag := c.Missed / share
			add(c.Press, square(lag), max(2*lag*c.U/share, square(c.U/share)))
		}
	}
	slices.SortStableFunc(sums, func(a, b sum) int { return cmp.Compare(a.press, b.press) })
	var out []LagAt
	for _, s := range sums {
		squared, us := s.weighted/s.weight, 1/math.Sqrt(s.weight)
		lag := math.Sqrt(max(squared, 0))
		// The root of a square known to ± us is known to us/2lag or, near 0, to √us.
		e := Estimate{Value: lag, U: min(us/(2*max(lag, 1e-9)), math.Sqrt(us)), Readings: s.n}
		out = append(out, LagAt{s.press, e.rounded()})
	}
	return out
}

// MissedShare is how far a towed mark misses a corner, as a share of its lag; the
// way of the axis turns by an angle in degrees. At a way s after the corner, in
// lags, the arm makes an angle ψ with the way, tan ψ/2 = tan(turn/2) e^-s (the
// tractrix), and the mark is √(1 + s² - 2s cos ψ) from the corner.
func MissedShare(turn float64) float64 {
	if !(turn > 0 && turn < 180) {
		return 0
	}
	start := arith.Tan(turn / 2 * arith.Pi / 180)
	distance := func(s float64) float64 {
		t := square(start * arith.Exp(-s))
		return 1 + square(s) - float64(2*s*(1-t))/(1+t)
	}
	low, high := 0.0, 3.0
	for range 60 { // the distance falls, then rises
		a, b := low+(high-low)/3, high-(high-low)/3
		if distance(a) <= distance(b) {
			high = b
		} else {
			low = a
		}
	}
	// Round sharp corners it is nearest while the axis is at the corner.
	return math.Sqrt(min(max(distance(low+(high-low)/2), 0), 1))
}
