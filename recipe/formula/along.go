package formula

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// point is a point of a stroke: along runs from 0 to 1, fromStart, length, press and
// width are in mm, bend is in 1/mm.
type point struct {
	stroke                         int
	along, fromStart, length, bend float64
	press, width                   float64
}

// step computes one part of a formula at a point, as a number of mm, g, s and
// rad; yes is 1.
type step func(point) (float64, *evalError)

// evalError says why a part has no value at a point.
type evalError struct {
	n       *node
	code    problem.Code
	message string
	fix     problem.Fix
}

// variable is a name whose value changes along a stroke.
type variable struct {
	dim  quantity.Dim
	read step
}

// alongKind is a kind of formula along a stroke: what it is for, which dimension it
// must give, and the names that only it may use.
type alongKind struct {
	what      string
	dim       quantity.Dim
	variables map[string]variable
}

var (
	alongVariable = variable{quantity.Pure, func(p point) (float64, *evalError) { return p.along, nil }}
	bendVariable  = variable{quantity.Bend, func(p point) (float64, *evalError) { return p.bend, nil }}
)

const (
	alongMeaning = "how far along the stroke, 0 at its start and 1 at its end"
	bendMeaning  = "curvature of the stroke, 1/radius; positive where it bends to the left"
)

// compileAlong reads a formula along a stroke; run is nil if something is wrong
// with it, which is then on the list.
func compileAlong(text string, at source.Place, scope Scope, kind *alongKind) (f *Formula, run step, list problem.List) {
	f, list = Parse("", text, at)
	if f.root == nil {
		return f, nil, list
	}
	if scope == nil {
		scope = Values{}
	}
	lookup := func(n *node) (Value, bool) { return scope.Lookup(n.text) }
	hyphened := 0
	check := checker{f: f, list: &list, kind: kind, lookup: func(n *node) shape {
		if v, ok := kind.variables[n.text]; ok {
			return quantityShape(v.dim)
		}
		v, ok := lookup(n)
		if !ok {
			known := scope.Names()
			for name := range kind.variables {
				known = append(known, name)
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
		return f, nil, list
	case found != quantityShape(kind.dim):
		is := quantityShape(kind.dim).withArticle()
		list.Errorf(problem.WrongDimension, f.Place, problem.Advise("write a formula that gives "+is), "the formula gives %s, but %s is %s", found.withArticle(), kind.what, is)
		return f, nil, list
	}
	c := compiler{evaluator{f: f, list: &list, budget: NewBudget(), lookup: lookup}, kind}
	run = c.compile(f.root)
	if len(list) > 0 {
		return f, nil, list
	}
	return f, run, nil
}
