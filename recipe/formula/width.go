package formula

import (
	"fmt"
	"math"
	"slices"

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

// point is a point of a stroke: along runs from 0 to 1, fromStart and length are in
// mm, bend is in 1/mm.
type point struct {
	stroke                         int
	along, fromStart, length, bend float64
}

// step computes one part of a width formula at a point, as a number of mm, g, s and
// rad; yes is 1.
type step func(point) (float64, *evalError)

// evalError says why a part has no value at a point.
type evalError struct {
	n       *node
	code    problem.Code
	message string
	fix     problem.Fix
}

// variables holds the names that only width formulas may use.
var variables = map[string]struct {
	dim  quantity.Dim
	read step
}{
	"along":      {quantity.Pure, func(p point) (float64, *evalError) { return p.along, nil }},
	"from_start": {quantity.Length, func(p point) (float64, *evalError) { return p.fromStart, nil }},
	"length":     {quantity.Length, func(p point) (float64, *evalError) { return p.length, nil }},
	"bend":       {quantity.Bend, func(p point) (float64, *evalError) { return p.bend, nil }},
}

// VariableHelp describes a name that only width formulas may use.
type VariableHelp struct{ Name, Meaning string }

// Variables lists the names that only width formulas may use, in the order of the
// guide.
func Variables() []VariableHelp {
	return []VariableHelp{
		{"along", "how far along the stroke, 0 at its start and 1 at its end"},
		{"from_start", "distance along the stroke from its start"},
		{"length", "length of the stroke"},
		{"bend", "curvature of the stroke, 1/radius; positive where it bends to the left"},
	}
}

// CompileWidth reads a width formula: an expression that gives a length and
// may use the variables along, from_start, length and bend, the function
// tremor, and the names of scope. Parts that do not change along the stroke are
// evaluated once.
//
// The codes are those of Parse and Evaluate.
func CompileWidth(text string, at source.Place, scope Scope) (*WidthFunc, problem.List) {
	f, list := Parse("", text, at)
	if f.root == nil {
		return nil, list
	}
	if scope == nil {
		scope = Values{}
	}
	lookup := func(n *node) (Value, bool) { return scope.Lookup(n.text) }
	hyphened := 0
	check := checker{f: f, list: &list, isWidth: true, lookup: func(n *node) shape {
		if v, ok := variables[n.text]; ok {
			return quantityShape(v.dim)
		}
		v, ok := lookup(n)
		if !ok {
			known := scope.Names()
			for _, v := range Variables() {
				known = append(known, v.Name)
			}
			slices.Sort(known)
			unknownName(f, n, known, &hyphened, &list)
			return shape{}
		}
		return v.shape()
	}}
	found := check.shape(f.root)
	switch {
	case !found.known():
		return nil, list
	case found != quantityShape(quantity.Length):
		list.Errorf(problem.WrongDimension, f.Place, problem.Advise("write a formula that gives a length"), "the formula gives %s, but a width is a length", found.withArticle())
		return nil, list
	}
	c := compiler{evaluator{f: f, list: &list, budget: NewBudget(), lookup: lookup}}
	run := c.compile(f.root)
	if len(list) > 0 {
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
	width, err := a.run(point{stroke, along, fromStart, length, bend})
	if err == nil && !(math.Abs(width) <= 1e15) {
		err = &evalError{a.f.root, problem.OutOfDomain, "the width is too large", problem.Advise("check what grows without limit")}
	}
	if err != nil {
		return 0, problem.Problem{Code: err.code, Place: a.f.place(err.n.from, err.n.to), Fix: err.fix,
			Message: fmt.Sprintf("%s, at along = %.4g", err.message, along)}
	}
	return width, nil
}
