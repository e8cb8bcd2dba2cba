package formula

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// compiler compiles the tree of a formula along a stroke to steps.
type compiler struct {
	evaluator
	kind *alongKind
}

// varies reports whether a part changes along the stroke.
func (c *compiler) varies(n *node) bool {
	found := false
	n.walk(func(n *node) {
		if n.form == nameForm {
			_, variable := c.kind.variables[n.text]
			found = found || variable
		}
		found = found || n.form == callForm && n.text == "tremor"
	})
	return found
}

func constant(x float64) step { return func(point) (float64, *evalError) { return x, nil } }

// coherent is a value as a number of mm, g, s and rad; yes is 1, no is 0.
func coherent(v Value) float64 {
	if v.kind == truthKind {
		if v.truth {
			return 1
		}
		return 0
	}
	return v.quantity.In(quantity.Coherent(v.quantity.Dim()))
}

// compile makes the step of a part. The step is valid only if there are no
// problems on the list.
func (c *compiler) compile(n *node) step {
	if !c.varies(n) {
		v, ok := c.value(n)
		if !ok || v.kind == brushKind {
			return constant(0)
		}
		return constant(coherent(v))
	}
	switch n.form {
	case nameForm:
		return c.kind.variables[n.text].read
	case chooseForm:
		return c.choose(n)
	case callForm:
		return c.call(n)
	case unaryForm:
		inner := c.compile(n.args[0])
		switch n.op {
		case "-":
			return func(p point) (float64, *evalError) { x, err := inner(p); return 0 - x, err }
		case "not":
			return func(p point) (float64, *evalError) { x, err := inner(p); return 1 - x, err }
		}
		return inner
	}
	return c.binary(n)
}

func (c *compiler) choose(n *node) step {
	condition, yes, no := c.compile(n.args[0]), c.compile(n.args[1]), c.compile(n.args[2])
	return func(p point) (float64, *evalError) {
		x, err := condition(p)
		switch {
		case err != nil:
			return 0, err
		case x != 0:
			return yes(p)
		}
		return no(p)
	}
}

// combine is a step that computes two steps and joins their numbers.
func combine(a, b step, join func(x, y float64) (float64, *evalError)) step {
	return func(p point) (float64, *evalError) {
		x, err := a(p)
		if err != nil {
			return 0, err
		}
		y, err := b(p)
		if err != nil {
			return 0, err
		}
		return join(x, y)
	}
}

func (c *compiler) binary(n *node) step {
	a, b := c.compile(n.args[0]), c.compile(n.args[1])
	zero := &evalError{n.args[1], problem.DivisionByZero, divisionByZero(c.f.excerpt(n.args[1])), problem.Advise("check why it is 0")}
	domain := &evalError{n, problem.OutOfDomain, "the power has no value", problem.Advise("check why the base is 0 or negative")}
	switch n.op {
	case "and", "or":
		stop := n.op == "or"
		return func(p point) (float64, *evalError) {
			if x, err := a(p); err != nil || (x != 0) == stop {
				return x, err
			}
			return b(p)
		}
	case "+":
		return combine(a, b, func(x, y float64) (float64, *evalError) { return x + y, nil })
	case "-":
		return combine(a, b, func(x, y float64) (float64, *evalError) { return x - y, nil })
	case "*":
		return combine(a, b, func(x, y float64) (float64, *evalError) { return float64(x * y), nil })
	case "/":
		return combine(a, b, func(x, y float64) (float64, *evalError) {
			if y == 0 {
				return 0, zero
			}
			return x / y, nil
		})
	case "^":
		return combine(a, b, func(x, y float64) (float64, *evalError) {
			z := arith.Pow(x, y)
			if math.IsNaN(z) || math.IsInf(z, 0) {
				return 0, domain
			}
			return z, nil
		})
	}
	op := n.op
	return combine(a, b, func(x, y float64) (float64, *evalError) {
		if compareFloats(op, x, y) {
			return 1, nil
		}
		return 0, nil
	})
}

func compareFloats(op string, x, y float64) bool {
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

// singleArgument are the functions of one argument that need no unit, with angles in rad.
// They return NaN outside their domain.
var singleArgument = map[string]func(float64) float64{
	"sqrt": math.Sqrt, "sin": arith.Sin, "cos": arith.Cos, "tan": arith.Tan,
	"asin": arith.Asin, "acos": arith.Acos, "atan": arith.Atan, "abs": math.Abs,
}

func (c *compiler) call(n *node) step {
	switch n.text {
	case "u", "sure":
		c.fail(n, problem.NotAllowed, problem.Advise("use "+n.text+" on a measured value"), "%s cannot be used on a value that changes along the stroke", n.text)
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
		return combine(args[0], args[1], func(x, y float64) (float64, *evalError) { return arith.Hypot(x, y), nil })
	case "atan2":
		return combine(args[0], args[1], func(y, x float64) (float64, *evalError) { return arith.Atan2(y, x), nil })
	case "least":
		return extremeStep(args, -1)
	case "greatest":
		return extremeStep(args, 1)
	case "round", "floor", "ceil":
		return roundingStep(n, args)
	}
	return singleArgumentStep(n, args[0])
}

// singleArgumentStep is one of the functions of one argument.
func singleArgumentStep(n *node, arg step) step {
	f := singleArgument[n.text]
	out := &evalError{n, problem.OutOfDomain, n.text + " has no value", problem.Advise("check its arguments")}
	return func(p point) (float64, *evalError) {
		x, err := arg(p)
		if err != nil {
			return 0, err
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
		run = combine(run, next, func(x, y float64) (float64, *evalError) {
			if (y-x)*sign > 0 {
				return y, nil
			}
			return x, nil
		})
	}
	return run
}

// roundingStep is round, floor or ceil, in steps of 1 if none is given.
func roundingStep(n *node, args []step) step {
	size := constant(1)
	if len(args) > 1 {
		size = args[1]
	}
	whole := rounders[n.text]
	out := &evalError{n, problem.OutOfDomain, n.text + " has no value", problem.Advise("write a larger step, such as 0.1*mm")}
	return combine(args[0], size, func(x, size float64) (float64, *evalError) {
		y, ok := roundToStep(x, math.Abs(size), whole)
		if !ok {
			return 0, out
		}
		return y, nil
	})
}

// curve compiles width_at or press_for.
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
		x, err := inner(p)
		if err != nil {
			return 0, err
		}
		y, refused := ask(x)
		if refused != nil {
			message, fix := outside(b, refused)
			return 0, &evalError{n.args[1], problem.OutsideTheBrush, message, fix}
		}
		return y, nil
	}
}

// tremor compiles a tremor with a constant seed and wavelength; its size may
// change along the stroke.
func (c *compiler) tremor(n *node) step {
	for _, i := range []int{0, 2} {
		if i < len(n.args) && c.varies(n.args[i]) {
			c.fail(n.args[i], problem.NotAllowed, problem.Advise("write a constant value"), "the %s of tremor cannot change along the stroke", n.call.params[i])
			return constant(0)
		}
	}
	v, ok := c.value(n.args[0])
	if !ok {
		return constant(0)
	}
	number := v.quantity.In(quantity.One)
	if number < 0 || number > 1<<53 || number != math.Floor(number) { // a float64 holds whole numbers up to 2^53
		c.fail(n.args[0], problem.OutOfDomain, problem.Advise("write a whole number, such as 1"), "the seed of tremor must be a whole number of 0 or more, not %s", v.quantity.Short())
		return constant(0)
	}
	seed, wave := uint64(number), defaultWave
	if len(n.args) > 2 {
		v, ok := c.value(n.args[2])
		if !ok {
			return constant(0)
		}
		if wave = v.quantity.In(quantity.MM); wave < 0.01 { // below any brush's width
			c.fail(n.args[2], problem.OutOfDomain, problem.Advise("write a wavelength, such as 8*mm"), "the wavelength of tremor must be at least 0.01 mm, not %s", v.quantity.Short())
			return constant(0)
		}
	}
	size := c.compile(n.args[1])
	out := &evalError{n, problem.OutOfDomain, "the stroke is too long for tremor", problem.Advise("write a longer wavelength")}
	return func(p point) (float64, *evalError) {
		x, err := size(p)
		if err != nil {
			return 0, err
		}
		if !(math.Abs(p.fromStart) < 1e12 && math.Abs(p.length) < 1e12) { // or wavelengths could not be counted
			return 0, out
		}
		return float64(x * tremor(seed, p.stroke, p.fromStart, p.length, wave)), nil
	}
}
