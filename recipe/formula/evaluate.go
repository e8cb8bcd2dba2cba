package formula

import (
	"slices"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// Result is one evaluated formula.
type Result struct {
	Formula *Formula
	// OK reports that there is a value.
	OK      bool
	Value   Value
	Working working.Working // if OK
}

// batch holds the formulas of one call of Evaluate.
type batch struct {
	formulas []*Formula
	scope    Scope
	index    map[string]int // formulas by name
	needs    [][]int        // formulas that each formula needs
	results  []Result
	budget   *Budget
	list     problem.List
	known    []string // all names, for "did you mean"
	unknowns int
}

// Evaluate evaluates formulas, which may be in any order, and may use each other
// and the names in scope. The results are in the order of the formulas. All
// problems are reported, in the order of their places; a formula that uses one
// with a problem has no value and is not reported again. workers is the largest
// number of goroutines; the results do not depend on it.
//
// The codes are unknown-name, dimension-error, wrong-dimension, formula-loop,
// defined-twice, reserved-name, wrong-name, division-by-zero, out-of-domain,
// outside-the-brush and too-much-work.
func Evaluate(formulas []*Formula, scope Scope, workers int) ([]Result, problem.List) {
	return NewBudget().Evaluate(formulas, scope, workers)
}

// Evaluate is like the function Evaluate, for several batches of formulas that
// share one budget. When the budget is used up, that is reported once.
func (budget *Budget) Evaluate(formulas []*Formula, scope Scope, workers int) ([]Result, problem.List) {
	if scope == nil {
		scope = Values{}
	}
	b := &batch{formulas: formulas, scope: scope, index: make(map[string]int, len(formulas)), budget: budget,
		results: make([]Result, len(formulas))}
	for i, f := range formulas {
		b.results[i].Formula = f
		b.define(i)
	}
	b.findNeeds()
	order := b.order()
	for _, i := range order {
		b.evaluate(i)
	}
	b.writeWorkings(workers)
	return b.results, b.list.Sorted()
}

// namePlace is the place of a formula's name or, if it has none, of the formula.
func (f *Formula) namePlace() source.Place {
	if f.NamePlace.Known() {
		return f.NamePlace
	}
	return f.Place
}

// define adds the name of a formula to the index, or reports why it cannot be used.
func (b *batch) define(i int) {
	f := b.formulas[i]
	if f.Name == "" {
		return
	}
	if meaning := reserved(f.Name); meaning != "" {
		b.list.Errorf(problem.ReservedName, f.namePlace(), problem.Advise("give it a longer name, such as "+f.Name+"_1"), "%q is %s and cannot be the name of a formula", clip(f.Name), meaning)
		return
	}
	if !validName(f.Name) {
		b.list.Errorf(problem.WrongName, f.namePlace(), problem.Advise("start it with a letter; use letters, digits and spaces"), "%q cannot be the name of a formula", clip(f.Name))
		return
	}
	if first, twice := b.index[f.Name]; twice {
		b.list.Add(problem.Problem{Code: problem.DefinedTwice, Place: f.namePlace(), Fix: problem.Advise("give one of them another name"),
			Message: quote(f.Name) + " is defined twice",
			Related: []problem.Related{{Place: b.formulas[first].namePlace(), Note: "defined here first"}}})
		return
	}
	if _, ok := b.scope.Lookup(f.Name); ok {
		p := problem.Problem{Code: problem.DefinedTwice, Place: f.namePlace(), Fix: problem.Advise("give the formula another name"), Message: quote(f.Name) + " is defined twice"}
		if s, ok := b.scope.(Placer); ok {
			if at := s.PlaceOf(f.Name); at.Known() {
				p.Related = []problem.Related{{Place: at, Note: "defined here first"}}
			}
		}
		b.list.Add(p)
		return
	}
	b.index[f.Name] = i
}

// Placer is a Scope that knows where its names were defined.
type Placer interface {
	Scope
	// PlaceOf returns the place where a folded name is defined, or the zero Place.
	PlaceOf(name string) source.Place
}

func quote(name string) string { return `"` + clip(name) + `"` }

// fullName is the full form of a name used in a formula.
func (b *batch) fullName(name string) string {
	if _, ok := b.index[name]; ok {
		return name
	}
	if c, ok := b.scope.(AliasScope); ok {
		return c.Canonical(name)
	}
	return name
}

// findNeeds finds which formulas each formula needs.
func (b *batch) findNeeds() {
	b.needs = make([][]int, len(b.formulas))
	for i, f := range b.formulas {
		for _, name := range f.names {
			if j, ok := b.index[b.fullName(name)]; ok {
				b.needs[i] = append(b.needs[i], j)
			}
		}
		slices.Sort(b.needs[i])
		b.needs[i] = slices.Compact(b.needs[i])
	}
}

// evaluate checks and evaluates one formula, after those that it needs.
func (b *batch) evaluate(i int) {
	f := b.formulas[i]
	if f.root == nil {
		return
	}
	broken, hyphened := false, 0
	check := checker{f: f, list: &b.list, lookup: func(n *node) shape {
		if j, ok := b.index[b.fullName(n.text)]; ok {
			if !b.results[j].OK {
				broken = true
				return shape{}
			}
			return b.results[j].Value.shape()
		}
		v, ok := b.scope.Lookup(n.text)
		if !ok {
			b.unknown(f, n, &hyphened)
			return shape{}
		}
		return v.shape()
	}}
	found := check.shape(f.root)
	if broken || !found.known() {
		return
	}
	if found.kind == brushKind {
		check.notQuantity(f.root, found)
		return
	}
	if f.Want != nil && (found.kind != quantityKind || found.dim != *f.Want) {
		b.list.Errorf(problem.WrongDimension, f.Place, problem.Advise("write a formula that gives "+f.Want.WithArticle()), "the formula gives %s, but %s is expected", found.withArticle(), f.Want.WithArticle())
		return
	}
	e := evaluator{f: f, list: &b.list, budget: b.budget, lookup: b.value}
	v, ok := e.value(f.root)
	if !ok {
		return
	}
	b.results[i].OK, b.results[i].Value = true, v
}

// value is the value of a defined name.
func (b *batch) value(n *node) (Value, bool) {
	if j, ok := b.index[b.fullName(n.text)]; ok {
		return b.results[j].Value, b.results[j].OK
	}
	return b.scope.Lookup(n.text)
}

// unknown reports a name that is not defined.
func (b *batch) unknown(f *Formula, n *node, hyphened *int) {
	if b.known == nil {
		b.known = append([]string{}, b.scope.Names()...)
		for name := range b.index {
			b.known = append(b.known, name)
		}
		slices.Sort(b.known)
		b.known = slices.Compact(b.known)
	}
	// A suggestion takes a comparison with every known name.
	if b.unknowns++; b.unknowns > maxSuggestions {
		b.known = []string{}
	}
	unknownName(f, n, b.known, hyphened, &b.list)
}

// maxSuggestions bounds the unknown names for which a similar one is suggested.
const maxSuggestions = 50

// writeWorkings writes the workings when all values are known, in at most this
// many goroutines.
func (b *batch) writeWorkings(workers int) {
	usedBy := make([][]string, len(b.formulas))
	for i, needs := range b.needs {
		if b.formulas[i].Name == "" {
			continue
		}
		for _, j := range needs {
			usedBy[j] = append(usedBy[j], b.formulas[i].Name)
		}
	}
	// The values no longer change, so the workings can be written in parallel.
	var next atomic.Int64
	var writers errgroup.Group
	for range max(1, min(workers, 1+len(b.results)/workingsPerWorker)) {
		writers.Go(func() error {
			var p pen // its memory is reused for all workings of this goroutine
			for i := int(next.Add(1)) - 1; i < len(b.results); i = int(next.Add(1)) - 1 {
				r := &b.results[i]
				if !r.OK {
					continue
				}
				r.Working = b.working(r, &p)
				slices.Sort(usedBy[i])
				r.Working.UsedBy = slices.Compact(usedBy[i])
			}
			return nil
		})
	}
	_ = writers.Wait() // writers return no error
}

// workingsPerWorker is how many workings there must be before another goroutine
// saves time.
const workingsPerWorker = 50
