package model

import (
	"math"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/source"
)

// FeedFunc is a formula of the feed over a stroke.
type FeedFunc interface {
	// FeedAt gives the feed in mm/min at a point of a stroke: press and width of the
	// mark in mm, bend in 1/mm (positive to the left), along from 0 to 1.
	FeedAt(press, width, bend, along float64) (float64, error)
	// Uses reports whether the feed depends on "press", "width", "bend" or "along".
	Uses(variable string) bool
}

// Feeding is the feed of a layer by formula.
type Feeding struct {
	By FeedFunc
	// Curve has the widths that the formula is given: those of the swatch, at the
	// feed at which it was painted.
	Curve *brush.Curve
	// Deepest is the deepest press in mm.
	Deepest float64
	// Slowest and Fastest are the feeds in mm/min between no press and the deepest,
	// where nothing bends.
	Slowest, Fastest float64
	Text             string // the formula as written
	Place            source.Place
}

// At is the feed in mm/min at a press (mm), a bend (1/mm) and a share of the way
// along the stroke. A press above the paper counts as the lightest touch, one beyond
// the deepest as the deepest.
func (f *Feeding) At(press, bend, along float64) (float64, error) {
	press = min(max(press, 0), f.Deepest)
	width, err := f.Curve.WidthAt(press)
	if err != nil {
		return 0, err
	}
	return f.By.FeedAt(press, width, bend, along)
}

// Of is the feed in mm/min at a press (mm) where nothing bends, at a middle of the
// stroke, and the layer's feed where there is no formula.
func (f *Feeding) Of(press, constant float64) float64 {
	if f == nil {
		return constant
	}
	if feed, err := f.At(press, 0, 0.5); err == nil && feed > 0 {
		return feed
	}
	return constant
}

// feedSteps is into how many parts the range of presses is divided.
const feedSteps = 200

// Presses calls yield for presses from 0 to the deepest, evenly spread.
func (f *Feeding) Presses(yield func(float64) bool) {
	for i := range feedSteps + 1 {
		if !yield(f.Deepest * (float64(i) / feedSteps)) {
			return
		}
	}
}

// Range finds the slowest and the fastest feed between no press and the deepest,
// where nothing bends, and the presses (mm) with them.
func (f *Feeding) Range() (slow, fast, atSlow, atFast float64, err error) {
	slow, fast = math.Inf(1), math.Inf(-1)
	for press := range f.Presses {
		for i := range alongSteps + 1 {
			feed, err := f.At(press, 0, float64(i)/alongSteps)
			if err != nil {
				return 0, 0, 0, 0, err
			}
			if feed < slow {
				slow, atSlow = feed, press
			}
			if feed > fast {
				fast, atFast = feed, press
			}
			if !f.By.Uses("along") {
				break
			}
		}
	}
	return slow, fast, atSlow, atFast, nil
}

// alongSteps is into how many parts a stroke is divided.
const alongSteps = 20
