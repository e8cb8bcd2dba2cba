package formula

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// WidthFunc is a width formula over an open stroke, compiled so that it can be
// asked for many points. It may be asked by several goroutines at once.
type WidthFunc struct {
	f   *Formula
	run step
}

// point is where a stroke is asked: along from 0 to 1, mm, mm, 1/mm.
type point struct {
	stroke                         int
	along, fromStart, length, bend float64
}

// step computes one part of the formula in mm, g, s and rad; yes is 1.
type step func(point) (float64, *evalError)

// evalError is why a part has no value at some point.
type evalError struct {
	n       *node
	code    problem.Code
	message string
	fix     problem.Fix
}

// variables are the names that only a width formula knows.
var variables = map[string]struct {
	dim  quantity.Dim
	read step
}{
	"along":      {quantity.Pure, func(p point) (float64, *evalError) { return p.along, nil }},
	"from_start": {quantity.Length, func(p point) (float64, *evalError) { return p.fromStart, nil }},
	"length":     {quantity.Length, func(p point) (float64, *evalError) { return p.length, nil }},
	"bend":       {quantity.Bend, func(p point) (float64, *evalError) { return p.bend, nil }},
}

// VariableHelp tells about a name that only width formulas know.
type VariableHelp struct{ Name, Meaning string }

// Variables lists the names that only width formulas know, in the order of
// the guide.
func Variables() []VariableHelp {
	return []VariableHelp{
		{"along", "how far along the stroke, 0 at its start and 1 at its end"},
		{"from_start", "the same as a length, from the start"},
		{"length", "length of the stroke"},
		{"bend", "how sharply the stroke bends there, 1/radius; positive where it bends to the left"},
	}
}

// CompileWidth reads a width formula: an expression that gives a length and
// may use the variables along, from_start, length and bend, the function
// tremor, and the names of scope. Parts that do not change along the stroke
// are worked out once.
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
	check := checker{f: f, list: &list, along: true, lookup: func(n *node) shape {
		if v, ok := variables[n.text]; ok {
			return of(v.dim)
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
	case found != of(quantity.Length):
		list.Errorf(problem.WrongDimension, f.Place, problem.Advise("write a formula for a length"), "the formula gives %s, and the width of a mark is a length", found.a())
		return nil, list
	}
	c := compiler{evaluator{f: f, list: &list, budget: NewBudget(), lookup: lookup}}
	run := c.compile(f.root)
	if len(list) > 0 {
		return nil, list
	}
	return &WidthFunc{f, run}, nil
}

// Formula is the formula as read.
func (a *WidthFunc) Formula() *Formula { return a.f }

// WidthAt gives the width in mm at a point of a stroke, which has a number on
// its layer: along from 0 to 1, fromStart and length in mm, bend in 1/mm
// (positive to the left). The width
// may be 0 or below where the formula says so: there is no mark there. The
// error is a problem.Problem with the place in the formula.
func (a *WidthFunc) WidthAt(stroke int, along, fromStart, length, bend float64) (float64, error) {
	width, t := a.run(point{stroke, along, fromStart, length, bend})
	if t == nil && !(math.Abs(width) <= 1e15) {
		t = &evalError{a.f.root, problem.OutOfDomain, "the width is beyond every number", problem.Advise("look at what grows without bound")}
	}
	if t != nil {
		return 0, problem.Problem{Code: t.code, Place: a.f.place(t.n.from, t.n.to), Fix: t.fix,
			Message: fmt.Sprintf("%s, where along is %.4g", t.message, along)}
	}
	return width, nil
}

// compiler turns the tree into steps.
type compiler struct{ evaluator }

// varies says whether a part changes along the stroke.
func varies(n *node) bool {
	found := false
	n.walk(func(n *node) {
		if n.form == nameForm {
			_, variable := variables[n.text]
			found = found || variable
		}
		found = found || n.form == callForm && n.text == "tremor"
	})
	return found
}

func constant(x float64) step { return func(point) (float64, *evalError) { return x, nil } }

// coherent is a value in mm, g, s and rad; yes is 1.
func coherent(v Value) float64 {
	if v.kind == truthKind {
		if v.truth {
			return 1
		}
		return 0
	}
	return v.quantity.In(quantity.Coherent(v.quantity.Dim()))
}

// compile makes the step of a part. With problems on the list the step means
// nothing.
func (c *compiler) compile(n *node) step {
	if !varies(n) {
		v, ok := c.value(n)
		if !ok || v.kind == brushKind {
			return constant(0)
		}
		return constant(coherent(v))
	}
	switch n.form {
	case nameForm:
		return variables[n.text].read
	case chooseForm:
		return c.choose(n)
	case callForm:
		return c.call(n)
	case unaryForm:
		inner := c.compile(n.args[0])
		switch n.op {
		case "-":
			return func(p point) (float64, *evalError) { x, t := inner(p); return 0 - x, t }
		case "not":
			return func(p point) (float64, *evalError) { x, t := inner(p); return 1 - x, t }
		}
		return inner
	}
	return c.binary(n)
}

func (c *compiler) choose(n *node) step {
	condition, yes, no := c.compile(n.args[0]), c.compile(n.args[1]), c.compile(n.args[2])
	return func(p point) (float64, *evalError) {
		x, t := condition(p)
		switch {
		case t != nil:
			return 0, t
		case x != 0:
			return yes(p)
		}
		return no(p)
	}
}

// both joins two steps.
func both(a, b step, join func(x, y float64) (float64, *evalError)) step {
	return func(p point) (float64, *evalError) {
		x, t := a(p)
		if t != nil {
			return 0, t
		}
		y, t := b(p)
		if t != nil {
			return 0, t
		}
		return join(x, y)
	}
}

func (c *compiler) binary(n *node) step {
	a, b := c.compile(n.args[0]), c.compile(n.args[1])
	zero := &evalError{n.args[1], problem.DivisionByZero, c.f.excerpt(n.args[1]) + " is 0, and nothing can be divided by it", problem.Advise("look at what makes it 0")}
	domain := &evalError{n, problem.OutOfDomain, "the power has no value", problem.Advise("look at what makes the base 0 or negative")}
	switch n.op {
	case "and", "or":
		stop := n.op == "or"
		return func(p point) (float64, *evalError) {
			if x, t := a(p); t != nil || (x != 0) == stop {
				return x, t
			}
			return b(p)
		}
	case "+":
		return both(a, b, func(x, y float64) (float64, *evalError) { return x + y, nil })
	case "-":
		return both(a, b, func(x, y float64) (float64, *evalError) { return x - y, nil })
	case "*":
		return both(a, b, func(x, y float64) (float64, *evalError) { return float64(x * y), nil })
	case "/":
		return both(a, b, func(x, y float64) (float64, *evalError) {
			if y == 0 {
				return 0, zero
			}
			return x / y, nil
		})
	case "^":
		return both(a, b, func(x, y float64) (float64, *evalError) {
			z := arith.Pow(x, y)
			if math.IsNaN(z) || math.IsInf(z, 0) {
				return 0, domain
			}
			return z, nil
		})
	}
	op := n.op
	return both(a, b, func(x, y float64) (float64, *evalError) {
		if ordered(op, x, y) {
			return 1, nil
		}
		return 0, nil
	})
}

func ordered(op string, x, y float64) bool {
	switch op {
	case "<":
		return x < y
	case "<=":
		return x <= y
	case ">":
		return x > y
	case ">=":
		return x >= y
	case "==":
		return x == y
	}
	return x != y
}

// bare are the functions of one argument that need no unit: angles in rad. A
// result that is no number is out of the domain.
var bare = map[string]func(float64) float64{
	"sqrt": math.Sqrt, "sin": arith.Sin, "cos": arith.Cos, "tan": arith.Tan,
	"asin": arith.Asin, "acos": arith.Acos, "atan": arith.Atan, "abs": math.Abs,
}

func (c *compiler) call(n *node) step {
	switch n.text {
	case "u", "sure":
		c.fail(n, problem.NotAllowed, problem.Advise("take "+n.text+" of what was measured, not of what changes along the stroke"), "%s has no meaning for what changes along the stroke", n.text)
		return constant(0)
	case "width_at", "press_for":
		return c.curve(n)
	case "tremor":
		return c.tremor(n)
	}
	args := make([]step, len(n.args))
	for i, a := range n.args {
		args[i] = c.compile(a)
	}
	switch n.text {
	case "hypot":
		return both(args[0], args[1], func(x, y float64) (float64, *evalError) { return arith.Hypot(x, y), nil })
	case "atan2":
		return both(args[0], args[1], func(y, x float64) (float64, *evalError) { return arith.Atan2(y, x), nil })
	case "least":
		return extremeStep(args, -1)
	case "greatest":
		return extremeStep(args, 1)
	case "round", "floor", "ceil":
		return roundingStep(n, args)
	}
	return bareStep(n, args[0])
}

// bareStep is one of the functions of one argument.
func bareStep(n *node, arg step) step {
	f := bare[n.text]
	out := &evalError{n, problem.OutOfDomain, n.text + " has no value there", problem.Advise("look at what goes into it")}
	return func(p point) (float64, *evalError) {
		x, t := arg(p)
		if t != nil {
			return 0, t
		}
		if x = f(x); math.IsNaN(x) {
			return 0, out
		}
		return x, nil
	}
}

// extremeStep is the least (sign -1) or the greatest (1) of its arguments.
func extremeStep(args []step, sign float64) step {
	run := args[0]
	for _, next := range args[1:] {
		run = both(run, next, func(x, y float64) (float64, *evalError) {
			if (y-x)*sign > 0 {
				return y, nil
			}
			return x, nil
		})
	}
	return run
}

// roundingStep is round, floor or ceil, by steps of 1 where none is given.
func roundingStep(n *node, args []step) step {
	size := constant(1)
	if len(args) > 1 {
		size = args[1]
	}
	whole := wholes[n.text]
	out := &evalError{n, problem.OutOfDomain, n.text + " has no value there", problem.Advise("write a larger step, such as 0.1*mm")}
	return both(args[0], size, func(x, size float64) (float64, *evalError) {
		y, ok := stepped(x, math.Abs(size), whole)
		if !ok {
			return 0, out
		}
		return y, nil
	})
}

// curve asks a brush for the width at a press or back.
func (c *compiler) curve(n *node) step {
	v, ok := c.value(n.args[0])
	if !ok {
		return constant(0)
	}
	b := v.brush
	ask := b.Curve.WidthAt
	if n.text == "press_for" {
		ask = b.Curve.PressFor
	}
	inner := c.compile(n.args[1])
	return func(p point) (float64, *evalError) {
		x, t := inner(p)
		if t != nil {
			return 0, t
		}
		y, err := ask(x)
		if err != nil {
			message, fix := outside(b, err)
			return 0, &evalError{n.args[1], problem.OutsideTheBrush, message, fix}
		}
		return y, nil
	}
}

// tremor takes a whole seed, a size that may change, and a fixed wavelength.
func (c *compiler) tremor(n *node) step {
	for _, i := range []int{0, 2} {
		if i < len(n.args) && varies(n.args[i]) {
			c.fail(n.args[i], problem.NotAllowed, problem.Advise("write a value that stays the same along the stroke"), "the %s of a tremor cannot change along the stroke", n.call.params[i])
			return constant(0)
		}
	}
	v, ok := c.value(n.args[0])
	if !ok {
		return constant(0)
	}
	number := v.quantity.In(quantity.One)
	if number < 0 || number > 1<<53 || number != math.Floor(number) {
		c.fail(n.args[0], problem.OutOfDomain, problem.Advise("write a whole number, such as 1"), "the seed of a tremor is a whole number from 0 on, not %s", v.quantity.Short())
		return constant(0)
	}
	seed, wave := uint64(number), defaultWave
	if len(n.args) > 2 {
		v, ok := c.value(n.args[2])
		if !ok {
			return constant(0)
		}
		if wave = v.quantity.In(quantity.MM); wave < 0.01 {
			c.fail(n.args[2], problem.OutOfDomain, problem.Advise("write a wavelength, such as 8*mm"), "the wavelength of a tremor is 0.01 mm at least, not %s", v.quantity.Short())
			return constant(0)
		}
	}
	size := c.compile(n.args[1])
	out := &evalError{n, problem.OutOfDomain, "the stroke is too long to tremble", problem.Advise("write a longer wavelength")}
	return func(p point) (float64, *evalError) {
		x, t := size(p)
		if t != nil {
			return 0, t
		}
		if !(math.Abs(p.fromStart) < 1e12 && math.Abs(p.length) < 1e12) {
			return 0, out
		}
		return float64(x * tremor(seed, p.stroke, p.fromStart, p.length, wave)), nil
	}
}
