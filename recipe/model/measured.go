package model

import (
	"mahlstick/recipe/brush"
	"mahlstick/recipe/measure"
)

// Measured is what the readings of swatch sheets say of a brush. What they do not
// tell has no readings. The brush itself holds what counts: a row that its notebook
// states is used instead.
type Measured struct {
	Sheets []string // the swatch recipes that count
	Day    string   // the heading of the readings, "" for several or none
	// Touches are the presses below each touch-off at which the paper was touched,
	// in the order of the sheets.
	Touches   []measure.Estimate
	TouchMark measure.Estimate
	HalfAngle measure.Estimate // radians
	Scatter   measure.Estimate // of one mark
	// People are those who read the marks, and Names what they are called, in the
	// order of People.Off.
	People measure.People
	Names  []string
	// Safe is the deepest press after which the tip came back; Grew reports that
	// it did not after a deeper one.
	Safe   measure.Estimate
	Grew   bool
	Lags   []measure.LagAt  // by rising press
	Play   measure.Estimate // mm of press: one reached from above acts as so much deeper
	Spread measure.Spread   // width by feed
	Feed   float64          // mm/min, of the marks of the curve; 0 where it is not known
	Dot    measure.Growth
	Load   measure.Load
	RunIn  measure.Estimate // mm until a fresh load paints evenly
	Touch  measure.Estimate // standard deviation of touching off
	TipX   measure.Estimate
	TipY   measure.Estimate
}

// Spreading is how the marks of a brush spread while the brush stands on them: the
// slower it goes, the wider they are.
type Spreading struct {
	measure.Spread
	Feed float64 // mm/min, of the marks of the curve
	// Painted is the feed of the layer in mm/min, the fastest if a formula gives it; 0
	// where there is none.
	Painted float64
	Feeding *Feeding     // of the layer, nil where its feed is the same everywhere
	Curve   *brush.Curve // at Feed
}
