package formula

import (
	"fmt"
	"math"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// WidthFunc is a width formula for an open stroke, compiled for many points. It
// is safe for concurrent use.
type WidthFunc struct {
	f   *Formula
	run step
}

// VariableHelp describes a name that only formulas along a stroke may use.
type VariableHelp struct{ Name, Meaning string }

var widthKind = &alongKind{what: "a width", dim: quantity.Length, variables: map[string]variable{
	"along":      alongVariable,
	"from_start": {quantity.Length, func(p point) (float64, *evalError) { return p.fromStart, nil }},
	"length":     {quantity.Length, func(p point) (float64, *evalError) { return p.length, nil }},
	"bend":       bendVariable,
}}

// Variables lists the names that only width formulas may use, in the order of the
// guide.
func Variables() []VariableHelp {
	return []VariableHelp{
		{"along", alongMeaning},
		{"from_start", "distance along the stroke from its start"},
		{"length", "length of the stroke"},
		{"bend", bendMeaning},
	}
}

// CompileWidth reads a width formula: an expression that gives a length and
// may use the variables along, from_start, length and bend, the function
// tremor, and the names of scope. Parts that do not change along the stroke are
// evaluated once.
//
// The codes are those of Parse and Evaluate.
func CompileWidth(text string, at source.Place, scope Scope) (*WidthFunc, problem.List) {
	f, run, list := compileAlong(text, at, scope, widthKind)
	if run == nil {
		return nil, list
	}
	return &WidthFunc{f, run}, nil
}

// Formula is the parsed formula.
func (a *WidthFunc) Formula() *Formula { return a.f }

// WidthAt is the width in mm at a point of a stroke, given the stroke's number
// on its layer: along from 0 to 1, fromStart and length in mm, bend in 1/mm
// (positive to the left). A width of 0 or less means that there is no mark. The
// error is a problem.Problem with the place in the formula.
func (a *WidthFunc) WidthAt(stroke int, along, fromStart, length, bend float64) (float64, error) {
	width, err := a.run(point{stroke: stroke, along: along, fromStart: fromStart, length: length, bend: bend})
	if err == nil && !(math.Abs(width) <= 1e15) {
		err = &evalError{a.f.root, problem.OutOfDomain, "the width is too large", problem.Advise("check what grows without limit")}
	}
	if err != nil {
		return 0, problem.Problem{Code: err.code, Place: a.f.place(err.n.from, err.n.to), Fix: err.fix,
			Message: fmt.Sprintf("%s, at along = %.4g", err.message, along)}
	}
	return width, nil
}
