package model

import "mahlstick/recipe/source"

// TrialKind is what a trial of a swatch sheet paints.
type TrialKind int8

// The kinds of trial.
const (
	Ladder  TrialKind = iota // marks of rising press
	Ramp                     // press up and down along one stroke
	Rings                    // circles, which shrink as the mark trails
	Corners                  // corners, which the mark cuts as it trails
	Feeds                    // one press at doubling feeds
	Dwell                    // dots, held for longer and longer
	RunOut                   // one load of ink to its end
	Touches                  // ten touch-offs, a dot for each
	Tips                     // where the tips of the mounted brushes are
	SetOff                   // short marks for blotting paper
)

// trialKinds are the kinds as recipes write them.
var trialKinds = [...]string{"ladder", "ramp", "rings", "corners", "feeds", "dwell", "run-out", "touches", "tips", "set-off"}

func (k TrialKind) String() string { return trialKinds[k] }

// TrialKinds lists all kinds in their order.
func TrialKinds() []TrialKind {
	out := make([]TrialKind, len(trialKinds))
	for i := range out {
		out[i] = TrialKind(i)
	}
	return out
}

// Trial is a row of a swatch sheet.
type Trial struct {
	Name string
	Kind TrialKind
	// Brush may be known in part only: its Curve is nil then, and its widest mark
	// and its safe press are 0 if they are not stated.
	Brush   *Brush
	Ink     Ink
	Feed    float64 // of painting, or the slowest
	Press   float64 // the greatest, mm
	Repeats int     // how often each mark is painted
	Held    float64 // longest time that a dot is held, s
	Place   source.Place
}
