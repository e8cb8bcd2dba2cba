package trial

import (
	"math"
)

const (
	aboveTouch = 0.20 // mm above the paper at which the ladder begins
	touchStep  = 0.05 // mm by which it comes down to the paper
	touchMark  = 8.0  // mm, length of the marks that find the touch
	rungMark   = 20.0 // mm, length of a rung
	checkMark  = 8.0  // mm, length of the light mark after it
	markGap    = 4.0  // mm between the two
	rungs      = 10   // in equal steps of press
	// settle is after how many rungs the first repeats are painted, so that there
	// are some to choose from.
	settle = 3
)

// lightRungs (mm) are rungs before the equal steps, where these are wider: they
// show where a mark begins.
var lightRungs = [...]float64{0.1, 0.2}

// layLadder is marks of rising press. It comes down to the paper in small steps, so
// that the first mark is the touch. Then each rung is followed by a light mark,
// which is as narrow as ever while the tip comes back to its point. Repeats are
// painted after the first pass of their rung, in an order that is shuffled among
// the rungs passed so far, so that a brush that runs dry or wears does not look
// like one that is stiffer.
func layLadder(b *bench) []item {
	var out []item
	for i := 0; ; i++ {
		height := aboveTouch - float64(touchStep*float64(i))
		if height < touchStep/2 {
			height = 0
		}
		out = append(out, b.item(b.line(0, 0, touchMark, -hundredths(height), b.trial.Feed)))
		if height == 0 {
			break
		}
	}
	var waiting []float64 // presses of the repeats that are to be painted
	mix := shuffle{}
	for i, press := range b.rungs() {
		out = append(out, b.rung(press))
		for range b.trial.Repeats - 1 {
			waiting = append(waiting, press)
		}
		if i+1 < settle {
			continue
		}
		for range b.trial.Repeats - 1 {
			press, waiting = mix.draw(waiting)
			out = append(out, b.rung(press))
		}
	}
	for len(waiting) > 0 {
		var press float64
		press, waiting = mix.draw(waiting)
		out = append(out, b.rung(press))
	}
	return out
}

// rungs are the presses of the ladder, rising.
func (b *bench) rungs() []float64 {
	var out []float64
	first := b.share(1.0 / rungs)
	for _, p := range lightRungs {
		if p < first-touchStep {
			out = append(out, p)
		}
	}
	for i := 1; i <= rungs; i++ {
		press := b.share(float64(i) / rungs)
		if i == rungs {
			press = b.press
		}
		if n := len(out); n == 0 || press > out[n-1] {
			out = append(out, press)
		}
	}
	return out
}

// rung is one rung with its light mark.
func (b *bench) rung(press float64) item {
	light := min(press, b.light())
	check := b.line(rungMark+markGap+b.width(press)/2, 0, checkMark, light, b.trial.Feed)
	check.readings[0].Check, check.look = true, true
	rung := b.line(0, 0, rungMark, press, b.trial.Feed)
	return b.item(rung, check)
}

// light is the press of the light marks: the lightest rung that is sure to mark
// the paper, with a chance of 1 in 100 to miss it, or else a quarter of the
// ladder's press. The height is uncertain by touch and bed; a band counts as
// half of it over √3 (JCGM 100:2008, 4.3.7), and 2.326 standard uncertainties
// leave 1 in 100 (normal distribution, one-sided).
func (b *bench) light() float64 {
	touch, bed := b.trial.Brush.Touch, b.job.Machine.Bed/math.Sqrt(3)
	sure := min(2.326*math.Sqrt(float64(touch*touch)+float64(bed*bed)), b.press/4)
	for _, press := range b.rungs() {
		if press >= sure {
			return press
		}
	}
	return b.press
}

// shuffle draws from lists in an order that is mixed and always the same: the
// multiplier and increment are those of Numerical Recipes' quick generator
// (W. H. Press and others, 2nd ed., 1992, 7.1; from memory).
type shuffle struct{ state uint32 }

// draw takes one out of a list that is not empty.
func (s *shuffle) draw(from []float64) (drawn float64, rest []float64) {
	s.state = 1664525*s.state + 1013904223
	i := int(uint64(s.state) * uint64(len(from)) >> 32)
	drawn = from[i]
	return drawn, append(from[:i:i], from[i+1:]...)
}
