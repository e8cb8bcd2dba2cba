package formula

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// FeedFunc is a formula of the feed along a stroke, compiled for many points. It is
// safe for concurrent use.
type FeedFunc struct {
	f   *Formula
	run step
}

var feedKind = &alongKind{what: "a feed", dim: quantity.Speed, variables: map[string]variable{
	"press": {quantity.Length, func(p point) (float64, *evalError) { return p.press, nil }},
	"width": {quantity.Length, func(p point) (float64, *evalError) { return p.width, nil }},
	"bend":  bendVariable,
	"along": alongVariable,
}}

// FeedVariables lists the names that a feed may use along a stroke, in the order of
// the guide.
func FeedVariables() []VariableHelp {
	return []VariableHelp{
		{"press", "how deep the brush is pressed there, 0 at the first touch"},
		{"width", "width of the mark at that press, as the brush's swatch has it"},
		{"bend", bendMeaning},
		{"along", alongMeaning},
	}
}

// VariesAlong reports whether a formula uses a name that changes along a stroke in
// the formula of a feed.
func VariesAlong(f *Formula) bool {
	return slices.ContainsFunc(f.Names(), func(name string) bool { _, ok := feedKind.variables[name]; return ok })
}

// CompileFeed reads the formula of a feed: an expression that gives a speed and may
// use the variables press, width, bend and along, and the names of scope. Parts that
// do not change along the stroke are evaluated once.
//
// The codes are those of Parse and Evaluate.
func CompileFeed(text string, at source.Place, scope Scope) (*FeedFunc, problem.List) {
	f, run, list := compileAlong(text, at, scope, feedKind)
	if run == nil {
		return nil, list
	}
	return &FeedFunc{f, run}, nil
}

// Formula is the parsed formula.
func (a *FeedFunc) Formula() *Formula { return a.f }

// Uses reports whether the formula depends on one of FeedVariables.
func (a *FeedFunc) Uses(variable string) bool { return slices.Contains(a.f.Names(), variable) }

// FeedAt is the feed in mm/min at a point of a stroke: press and width in mm, bend
// in 1/mm (positive to the left), along from 0 to 1. The error is a problem.Problem
// with the place in the formula.
func (a *FeedFunc) FeedAt(press, width, bend, along float64) (float64, error) {
	speed, err := a.run(point{press: press, width: width, bend: bend, along: along})
	if err == nil && !(math.Abs(speed) <= 1e15) {
		err = &evalError{a.f.root, problem.OutOfDomain, "the feed is too large", problem.Advise("check what grows without limit")}
	}
	if err != nil {
		return 0, problem.Problem{Code: err.code, Place: a.f.place(err.n.from, err.n.to), Fix: err.fix,
			Message: fmt.Sprintf("%s, at a press of %.4g mm", err.message, press)}
	}
	// Without the error of the unit, so that a whole number stays one.
	return math.Round(float64(quantity.New(speed, quantity.Coherent(quantity.Speed)).In(quantity.MMPerMin)*1e6)) / 1e6, nil
}
