package formula

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// function is one function of the language.
type function struct {
	name     string
	min, max int      // number of arguments
	params   []string // as shown in the help; the last one repeats if max is maxArguments
	help     string
	// shape finds the kind and dimension of the result, and reports wrong
	// arguments.
	shape func(c *checker, n *node, in []shape) shape
	// eval computes the value after the shapes of the arguments were checked.
	eval func(e *evaluator, n *node, in []Value) (Value, bool)
}

// takesBrush reports whether the first argument is a brush.
func (f *function) takesBrush() bool { return f.params[0] == "brush" }

// maxArguments bounds the arguments of least and greatest.
const maxArguments = 32

// Usage shows the function with its arguments: "round(x, step)".
func (f *function) Usage() string {
	s := f.name + "("
	for i, p := range f.params {
		if i > 0 {
			s += ", "
		}
		s += p
	}
	if f.max == maxArguments {
		s += ", ..."
	}
	return s + ")"
}

func (f *function) count() string {
	switch {
	case f.min == f.max && f.min == 1:
		return "1 argument"
	case f.min == f.max:
		return fmt.Sprintf("%d arguments", f.min)
	case f.max == maxArguments:
		return fmt.Sprintf("%d or more arguments", f.min)
	}
	return fmt.Sprintf("%d or %d arguments", f.min, f.max)
}

// functionSynonyms maps other common names to the functions that are meant.
var functionSynonyms = map[string]string{
	"min": "least", "minimum": "least", "max": "greatest", "maximum": "greatest", "arctan": "atan", "arcsin": "asin", "arccos": "acos",
	"root": "sqrt", "abs_value": "abs", "ceiling": "ceil",
}

// FunctionHelp describes one function for the table of the guide.
type FunctionHelp struct{ Usage, Meaning string }

// Functions lists the functions in the order of the guide.
func Functions() []FunctionHelp {
	out := make([]FunctionHelp, len(functions))
	for i := range functions {
		out[i] = FunctionHelp{functions[i].Usage(), functions[i].help}
	}
	return out
}

var functions = []function{
	{"sqrt", 1, 1, []string{"x"}, "square root; the root of an area is a length", sqrtShape, evalSqrt},
	{"hypot", 2, 2, []string{"x", "y"}, "hypotenuse of a right triangle with legs x and y, sqrt(x^2 + y^2)", sameKindShape, evalHypot},
	{"sin", 1, 1, []string{"angle"}, "sine", trigShape, evalSin},
	{"cos", 1, 1, []string{"angle"}, "cosine", trigShape, evalCos},
	{"tan", 1, 1, []string{"angle"}, "tangent", trigShape, evalTan},
	{"asin", 1, 1, []string{"ratio"}, "angle with this sine, -90 to 90 degrees", inverseTrigShape, evalAsin},
	{"acos", 1, 1, []string{"ratio"}, "angle with this cosine, 0 to 180 degrees", inverseTrigShape, evalAcos},
	{"atan", 1, 1, []string{"ratio"}, "angle with this tangent, -90 to 90 degrees", inverseTrigShape, evalAtan},
	{"atan2", 2, 2, []string{"y", "x"}, "direction of a way x to the right and y up, -180 to 180 degrees", atan2Shape, evalAtan2},
	{"abs", 1, 1, []string{"x"}, "absolute value of x", sameKindShape, evalAbs},
	{"least", 2, maxArguments, []string{"x", "y"}, "the smallest of its arguments (min is the minute)", sameKindShape, evalLeast},
	{"greatest", 2, maxArguments, []string{"x", "y"}, "the largest of its arguments", sameKindShape, evalGreatest},
	{"round", 1, 2, []string{"x", "step"}, "x rounded to a whole number of steps, ties to even; a plain number needs no step", stepShape, evalRounding},
	{"floor", 1, 2, []string{"x", "step"}, "x rounded down to a whole number of steps", stepShape, evalRounding},
	{"ceil", 1, 2, []string{"x", "step"}, "x rounded up to a whole number of steps", stepShape, evalRounding},
	{"width_at", 2, 2, []string{"brush", "press"}, "width of the mark that a brush paints at a press", brushShape, evalWidthAt},
	{"press_for", 2, 2, []string{"brush", "width"}, "press that a brush needs for a width", brushShape, evalPressFor},
	{"tremor", 2, 3, []string{"seed", "size", "wavelength"}, "smooth noise between -size and size along a stroke, the same for the same seed; only in the width of a layer", tremorShape, evalTremor},
	{"u", 1, 1, []string{"x"}, "standard uncertainty of x", sameKindShape, evalU},
	{"sure", 2, 2, []string{"x", "k"}, "x - k*u(x), a lower limit of x: k standard uncertainties below it", sureShape, evalSure},
}

var functionByName = func() map[string]*function {
	byName := map[string]*function{}
	for i := range functions {
		byName[functions[i].name] = &functions[i]
	}
	return byName
}()

var functionNames = slices.Sorted(maps.Keys(functionByName))

const degreesPerRadian = 180 / arith.Pi

// derived is a computed quantity as a result.
func derived(number float64, unit quantity.Unit, terms ...quantity.Term) (Value, bool) {
	return OfQuantity(quantity.Derive(number, unit, terms...)), true
}

func evalSqrt(e *evaluator, n *node, in []Value) (Value, bool) {
	x := plain(in[0].quantity)
	unit, ok := x.Unit().Root(2)
	switch {
	case !ok:
		return e.fail(n, problem.DimensionError, problem.Advise("take the root of an area"), "the root has no unit")
	case x.Number() < 0:
		return e.fail(n.args[0], problem.OutOfDomain, problem.Advise("check why it is negative"), "%s has no square root", x.Short())
	case x.Number() == 0 && x.Uncertain():
		return e.noSlope(n, "the root of 0")
	}
	root := math.Sqrt(x.Number())
	slope := 0.0
	if root > 0 {
		slope = 0.5 / root
	}
	return derived(root, unit, quantity.Term{Of: x, Slope: slope})
}

func evalHypot(e *evaluator, n *node, in []Value) (Value, bool) {
	x := in[0].quantity
	y := in[1].quantity.To(x.Unit())
	h := arith.Hypot(x.Number(), y.Number())
	if h == 0 {
		if x.Uncertain() || y.Uncertain() {
			return e.noSlope(n, "hypot of 0 and 0")
		}
		return derived(0, x.Unit())
	}
	return derived(h, x.Unit(), quantity.Term{Of: x, Slope: x.Number() / h}, quantity.Term{Of: y, Slope: y.Number() / h})
}

// sinCos is the sine and cosine of an angle, and the size of its unit in radians.
func sinCos(x quantity.Quantity) (sin, cos, unit float64) {
	if x.Unit() == quantity.Degree {
		sin, cos = arith.SinCosDegrees(x.Number())
		return sin, cos, arith.Pi / 180
	}
	sin, cos = arith.SinCos(x.Number())
	return sin, cos, 1
}

func evalSin(_ *evaluator, _ *node, in []Value) (Value, bool) {
	sin, cos, unit := sinCos(in[0].quantity)
	return derived(sin, quantity.One, quantity.Term{Of: in[0].quantity, Slope: float64(cos * unit)})
}

func evalCos(_ *evaluator, _ *node, in []Value) (Value, bool) {
	sin, cos, unit := sinCos(in[0].quantity)
	return derived(cos, quantity.One, quantity.Term{Of: in[0].quantity, Slope: -float64(sin * unit)})
}

func evalTan(e *evaluator, n *node, in []Value) (Value, bool) {
	sin, cos, unit := sinCos(in[0].quantity)
	if cos == 0 {
		return e.fail(n.args[0], problem.OutOfDomain, problem.Advise("check why it is a right angle"), "%s has no tangent", in[0].quantity.Short())
	}
	t := sin / cos
	return derived(t, quantity.One, quantity.Term{Of: in[0].quantity, Slope: float64((1 + float64(t*t)) * unit)})
}

// inverseTrig is the inverse of sine (sign 1) or cosine (sign -1); their slopes
// are ±1/√(1-x²).
func inverseTrig(e *evaluator, n *node, in []Value, arc func(float64) float64, sign float64) (Value, bool) {
	x := plain(in[0].quantity)
	if math.Abs(x.Number()) > 1 {
		return e.fail(n.args[0], problem.OutOfDomain, problem.Advise("check the ratio: the hypotenuse is the longest side"), "%s takes a ratio from −1 to 1, not %s", n.text, x.Short())
	}
	slope := 0.0
	if rest := float64((1 - x.Number()) * (1 + x.Number())); rest > 0 {
		slope = float64(sign*degreesPerRadian) / math.Sqrt(rest)
	} else if x.Uncertain() {
		return e.noSlope(n, n.text+" of "+x.Short())
	}
	return derived(float64(arc(x.Number())*degreesPerRadian), quantity.Degree, quantity.Term{Of: x, Slope: slope})
}

func evalAsin(e *evaluator, n *node, in []Value) (Value, bool) {
	return inverseTrig(e, n, in, arith.Asin, 1)
}

func evalAcos(e *evaluator, n *node, in []Value) (Value, bool) {
	return inverseTrig(e, n, in, arith.Acos, -1)
}

func evalAtan(_ *evaluator, _ *node, in []Value) (Value, bool) {
	x := plain(in[0].quantity)
	return derived(float64(arith.Atan(x.Number())*degreesPerRadian), quantity.Degree,
		quantity.Term{Of: x, Slope: degreesPerRadian / (1 + float64(x.Number()*x.Number()))})
}

func evalAtan2(e *evaluator, n *node, in []Value) (Value, bool) {
	y := in[0].quantity
	x := in[1].quantity.To(y.Unit())
	h := arith.Hypot(x.Number(), y.Number())
	if h == 0 {
		return e.fail(n, problem.OutOfDomain, problem.Advise("check why both are 0"), "atan2 of 0 and 0 has no direction")
	}
	return derived(float64(arith.Atan2(y.Number(), x.Number())*degreesPerRadian), quantity.Degree,
		quantity.Term{Of: y, Slope: float64(x.Number()/h*degreesPerRadian) / h}, quantity.Term{Of: x, Slope: -float64(y.Number()/h*degreesPerRadian) / h})
}

func evalAbs(_ *evaluator, _ *node, in []Value) (Value, bool) {
	if in[0].quantity.Number() < 0 {
		return OfQuantity(quantity.Negate(in[0].quantity)), true
	}
	return in[0], true
}

func evalLeast(_ *evaluator, _ *node, in []Value) (Value, bool)    { return extreme(in, -1), true }
func evalGreatest(_ *evaluator, _ *node, in []Value) (Value, bool) { return extreme(in, 1), true }

func extreme(in []Value, sign int) Value {
	best := in[0]
	for _, v := range in[1:] {
		if order, _ := quantity.Compare(v.quantity, best.quantity); order == sign {
			best = v
		}
	}
	return best
}

// rounders holds the functions that round to a whole number.
var rounders = map[string]func(float64) float64{"round": math.RoundToEven, "floor": math.Floor, "ceil": math.Ceil}

// evalRounding rounds to a multiple of a step. The uncertainty stays that of x: a
// rounded setting is as uncertain a measure of x as x itself.
func evalRounding(e *evaluator, n *node, in []Value) (Value, bool) {
	x, step := plain(in[0].quantity), quantity.New(1, quantity.One)
	if len(in) > 1 {
		step = plain(in[1].quantity)
		x = x.To(step.Unit())
	}
	number, ok := roundToStep(x.Number(), math.Abs(step.Number()), rounders[n.text])
	if !ok {
		return e.fail(n, problem.OutOfDomain, problem.Advise("write a larger step, such as 0.1*mm"), "%s of %s in steps of %s has no value", n.text, x.Short(), step.Short())
	}
	return derived(number, x.Unit(), quantity.Term{Of: x, Slope: 1})
}

// roundToStep rounds x to a whole number of steps of a size, by the function whole.
// It returns false if the size is 0 or far too small.
func roundToStep(x, size float64, whole func(float64) float64) (float64, bool) {
	count := x / size
	if !(math.Abs(count) < 1e15) {
		return 0, false
	}
	// A count that differs from a half or a whole number only by rounding is meant
	// to be that number.
	if twice := math.RoundToEven(2 * count); math.Abs(2*count-twice) < 1e-9 {
		count = twice / 2
	}
	number := float64(whole(count) * size)
	// Ten steps of 0.1 must be exactly 1: divide by the number of steps in 1.
	if per := math.RoundToEven(1 / size); per > 1 && math.Abs(float64(per*size)-1) < 1e-15 {
		number = whole(count) / per
	}
	if number == 0 {
		return 0, true // no negative zero
	}
	return number, true
}

func evalU(_ *evaluator, _ *node, in []Value) (Value, bool) {
	x := in[0].quantity
	return derived(x.U(x.Unit()), x.Unit())
}

func evalSure(e *evaluator, n *node, in []Value) (Value, bool) {
	x, k := in[0].quantity, plain(in[1].quantity).Number()
	if k < 0 {
		return e.fail(n.args[1], problem.OutOfDomain, problem.Advise("write a number of standard uncertainties, such as 2"), "sure takes a number of 0 or more, not %s", in[1].quantity.Short())
	}
	return derived(x.Number()-float64(k*x.U(x.Unit())), x.Unit(), quantity.Term{Of: x, Slope: 1})
}

// evalTremor is never called: only width formulas may use tremor, and they are
// compiled.
func evalTremor(e *evaluator, n *node, _ []Value) (Value, bool) {
	return e.fail(n, problem.NotAllowed, problem.Advise("use it in the width of a layer"), "tremor works only in the width of a layer")
}

// plain converts per cent to a plain number.
func plain(q quantity.Quantity) quantity.Quantity {
	if q.Unit() == quantity.Percent {
		return q.To(quantity.One)
	}
	return q
}
