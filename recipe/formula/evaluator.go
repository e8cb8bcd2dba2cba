package formula

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// maxSteps bounds the steps that the formulas of one job may take together, so that
// no recipe can hang the program or fill the memory. A step is one node, or one
// reading's contribution to a number.
const maxSteps = 4_000_000

// Budget is the number of steps that the formulas of a job may still take.
type Budget struct {
	left  int
	spent bool // nothing was left for a formula, which was reported
}

// Spent reports whether the budget was too small; the formulas that needed more
// have no value.
func (b *Budget) Spent() bool { return b.spent }

// NewBudget is the budget of one job.
func NewBudget() *Budget { return &Budget{left: maxSteps} }

// evaluator evaluates one formula whose shapes have been checked.
type evaluator struct {
	f      *Formula
	lookup func(*node) (Value, bool)
	list   *problem.List
	budget *Budget
}

// fail reports a problem, and returns the results of a failed evaluation.
func (e *evaluator) fail(n *node, code problem.Code, fix problem.Fix, format string, args ...any) (Value, bool) {
	e.list.Errorf(code, e.f.place(n.from, n.to), fix, "%s", fmt.Sprintf(format, args...))
	return Value{}, false
}

// noSlope reports a point at which the uncertainty cannot be propagated to
// first order.
func (e *evaluator) noSlope(n *node, what string) (Value, bool) {
	return e.fail(n, problem.OutOfDomain, problem.Advise("avoid this point, or leave out the ±"), "the uncertainty of %s cannot be computed", what)
}

// value evaluates a part.
func (e *evaluator) value(n *node) (Value, bool) {
	v, ok := e.factor(n)
	if ok && n.inProduct() { // nothing else keeps an angle
		v.quantity = quantity.Arc(v.quantity)
	}
	return v, ok
}

// factor evaluates a part as a factor of a product, inside which an angle is kept
// next to a length.
func (e *evaluator) factor(n *node) (Value, bool) {
	e.budget.left--
	switch n.form {
	case numberForm:
		return OfQuantity(quantity.New(n.number, quantity.One)), true
	case unitForm:
		return OfQuantity(quantity.New(1, n.unit)), true
	case readingForm:
		return OfQuantity(*n.reading), true
	case truthForm:
		return OfTruth(n.truth), true
	case nameForm:
		return e.lookup(n)
	case chooseForm:
		condition, ok := e.value(n.args[0])
		switch {
		case !ok:
			return Value{}, false
		case condition.truth:
			return e.value(n.args[1])
		}
		return e.value(n.args[2])
	case binaryForm:
		if n.op == "and" || n.op == "or" {
			left, ok := e.value(n.args[0])
			if !ok || left.truth == (n.op == "or") {
				return left, ok
			}
			return e.value(n.args[1])
		}
	}
	var array [2]Value // saves an allocation for up to two operands
	in := array[:0]
	for _, a := range n.args {
		v, ok := e.operand(n, a)
		if !ok {
			return Value{}, false
		}
		in = append(in, v)
		e.budget.left -= v.quantity.Weight()
	}
	if e.budget.left < 0 {
		if e.budget.spent {
			return Value{}, false
		}
		e.budget.spent = true
		return e.fail(n, problem.TooMuchWork, problem.Advise("split the recipe, or use fewer measurements in one number"), "the formulas of this recipe take too much computing")
	}
	var v Value
	ok := true
	switch n.form {
	case callForm:
		v, ok = n.call.eval(e, n, in)
	case unaryForm:
		v = unary(n.op, in[0])
	default:
		v, ok = e.binary(n, in[0], in[1])
	}
	if ok && v.kind == quantityKind && !(math.Abs(v.quantity.Number()) <= math.MaxFloat64/4) {
		return e.fail(n, problem.OutOfDomain, problem.Advise("check the units and the exponents"), "the result is too large")
	}
	return v, ok
}

func (e *evaluator) operand(of, n *node) (Value, bool) {
	if of.inProduct() {
		return e.factor(n)
	}
	return e.value(n)
}

func unary(op string, v Value) Value {
	switch op {
	case "not":
		return OfTruth(!v.truth)
	case "-":
		return OfQuantity(quantity.Negate(v.quantity))
	}
	return v
}

func (e *evaluator) binary(n *node, a, b Value) (Value, bool) {
	var q quantity.Quantity
	var err error
	switch n.op {
	case "+":
		q, err = quantity.Add(a.quantity, b.quantity)
	case "-":
		q, err = quantity.Subtract(a.quantity, b.quantity)
	case "*":
		q, err = quantity.Multiply(a.quantity, b.quantity)
	case "/":
		q, err = quantity.Divide(a.quantity, b.quantity)
	case "^":
		return e.power(n, plain(a.quantity), plain(b.quantity))
	default:
		return OfTruth(compare(n.op, a, b)), true
	}
	switch err {
	case nil:
		return OfQuantity(q), true
	case quantity.ErrZero:
		return e.fail(n.args[1], problem.DivisionByZero, problem.Advise("check why it is 0"), "%s", divisionByZero(e.f.excerpt(n.args[1])))
	}
	return e.fail(n, problem.DimensionError, problem.Advise("check the units"), "%v", err)
}

func divisionByZero(text string) string {
	if text == "0" {
		return "division by zero"
	}
	return "division by zero: " + text + " is 0"
}

func compare(op string, a, b Value) bool {
	order := 1
	if a.kind == truthKind {
		if a.truth == b.truth {
			order = 0
		}
	} else {
		order, _ = quantity.Compare(a.quantity, b.quantity)
	}
	switch op {
	case "<":
		return order < 0
	case "<=":
		return order <= 0
	case ">":
		return order > 0
	case ">=":
		return order >= 0
	case "==":
		return order == 0
	}
	return order != 0
}

// power is x^y. The slopes are y x^(y-1) and x^y ln x.
func (e *evaluator) power(n *node, x, y quantity.Quantity) (Value, bool) {
	p := y.Number()
	unit := quantity.One
	if x.Dim() != quantity.Pure {
		root, twice := x.Unit(), 1
		ok := true
		if p != math.Floor(p) {
			root, ok = root.Root(2)
			twice = 2
		}
		if ok {
			unit, ok = root.Power(int(p * float64(twice)))
		}
		if !ok {
			return e.fail(n, problem.DimensionError, problem.Advise("check the units"), "the power has no unit that can be written")
		}
	}
	base := x.Number()
	switch {
	case base == 0 && p < 0:
		return e.fail(n.args[0], problem.DivisionByZero, problem.Advise("check why it is 0"), "0 cannot be raised to a negative power")
	case base < 0 && p != math.Floor(p):
		return e.fail(n.args[0], problem.OutOfDomain, problem.Advise("check why it is negative"), "%s cannot be raised to the power %s", x.Short(), y.Short())
	}
	number := arith.Pow(base, p)
	terms := []quantity.Term{}
	if x.Uncertain() && p != 0 {
		if base == 0 && p < 1 {
			return e.noSlope(n, "the root of 0")
		}
		terms = append(terms, quantity.Term{Of: x, Slope: float64(p * arith.Pow(base, p-1))})
	}
	if y.Uncertain() {
		if base <= 0 {
			return e.noSlope(n, "a power of "+x.Short()+" with an uncertain exponent")
		}
		terms = append(terms, quantity.Term{Of: y, Slope: float64(number * arith.Log(base))})
	}
	return derived(number, unit, terms...)
}
