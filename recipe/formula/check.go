package formula

import (
	"math"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// checker finds the shape of every part of a formula before it is evaluated, so
// that a branch that is not taken is checked as well.
type checker struct {
	f      *Formula
	lookup func(*node) shape // the shape of a name; reports an unknown one
	list   *problem.List
	kind   *alongKind // of a formula along a stroke, else nil
}

func (c *checker) errorf(code problem.Code, from, to int, fix problem.Fix, format string, args ...any) shape {
	c.list.Errorf(code, c.f.place(from, to), fix, format, args...)
	return shape{}
}

// text is a part as written, shortened for a message.
func (c *checker) text(n *node) string { return c.f.excerpt(n) }

// shape is the shape of n, or the unknown shape if something in it is wrong, which
// is then reported.
func (c *checker) shape(n *node) shape {
	s := c.factor(n)
	s.dim = quantity.ArcDim(s.dim)
	return s
}

// factor is the shape of n as a factor of a product, inside which an angle is
// kept next to a length.
func (c *checker) factor(n *node) shape {
	switch n.form {
	case numberForm:
		return numberShape()
	case unitForm:
		return quantityShape(n.unit.Dim())
	case readingForm:
		return quantityShape(n.reading.Dim())
	case truthForm:
		return truthShape()
	case nameForm:
		return c.lookup(n)
	}
	in := make([]shape, len(n.args))
	whole := true
	for i, a := range n.args {
		if n.inProduct() {
			in[i] = c.factor(a)
		} else {
			in[i] = c.shape(a)
		}
		whole = whole && in[i].known()
	}
	if !whole {
		return shape{}
	}
	switch n.form {
	case callForm:
		return n.call.shape(c, n, in)
	case chooseForm:
		return c.choose(n, in)
	case unaryForm:
		return c.unary(n, in[0])
	}
	return c.binary(n, in[0], in[1])
}

// sameKind is the fix for two quantities of different dimensions.
var sameKind = problem.Advise("use the same kind of unit for both")

func (c *checker) unary(n *node, in shape) shape {
	if n.op == "not" {
		if in.kind != truthKind {
			return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("put the comparison in brackets: not (a < b)"), "not takes a yes or no, but %s is %s", c.text(n.args[0]), in.withArticle())
		}
		return in
	}
	if !in.isQuantity() {
		return c.notQuantity(n.args[0], in)
	}
	return in
}

// notQuantity reports a brush or a yes or no where a quantity is expected.
func (c *checker) notQuantity(n *node, in shape) shape {
	fix := problem.Advise("use the comparison before a ?: a < b ? x : y")
	if in.kind == brushKind {
		fix = problem.Advise("use a row of the brush, such as " + c.text(n) + ".safe_press")
	}
	return c.errorf(problem.DimensionError, n.from, n.to, fix, "%s is %s, but a quantity is expected", c.text(n), in.withArticle())
}

func (c *checker) binary(n *node, a, b shape) shape {
	switch {
	case n.op == "and", n.op == "or":
		return c.logic(n, a, b)
	case (n.op == "==" || n.op == "!=") && a.kind == truthKind && b.kind == truthKind:
		return truthShape()
	case !c.quantities(n, []shape{a, b}):
		return shape{}
	}
	var d quantity.Dim
	ok := false
	switch n.op {
	case "*":
		d, ok = a.dim.Times(b.dim)
	case "/":
		d, ok = quantity.QuotientDim(a.dim, b.dim)
	case "^":
		return c.power(n, a, b)
	case "+", "-":
		d, ok = a.dim, a.dim == b.dim
		if !ok {
			return c.differ(n, a, b)
		}
	default:
		if a.dim != b.dim {
			return c.differ(n, a, b)
		}
		return truthShape()
	}
	if !ok {
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("check the units"), "the result has no unit that can be written")
	}
	return quantityShape(d)
}

// logic is the shape of and and or.
func (c *checker) logic(n *node, a, b shape) shape {
	for i, s := range []shape{a, b} {
		if s.kind != truthKind {
			return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("write comparisons: a < b "+n.op+" c < d"), "%s takes a yes or no, but %s is %s", n.op, c.text(n.args[i]), s.withArticle())
		}
	}
	return truthShape()
}

// differ reports two dimensions that do not match.
func (c *checker) differ(n *node, a, b shape) shape {
	left, right := c.text(n.args[0]), c.text(n.args[1])
	fix := sameKind
	// A plain number together with a quantity probably lacks its unit.
	for i, other := range []shape{b, a} {
		if m := n.args[i]; m.form == numberForm && (a.dim == quantity.Pure) != (b.dim == quantity.Pure) {
			fix = problem.Advise("add the unit to the number, such as " + m.text + "*" + strings.ReplaceAll(formulaUnit(quantity.Usual(other.dim)), "·", "*"))
		}
	}
	switch n.op {
	case "+":
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, fix, "%s cannot be added to %s: %s is %s, %s is %s", b.withArticle(), a.withArticle(), left, a.withArticle(), right, b.withArticle())
	case "-":
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, fix, "%s cannot be subtracted from %s: %s is %s, %s is %s", b.withArticle(), a.withArticle(), left, a.withArticle(), right, b.withArticle())
	}
	return c.errorf(problem.DimensionError, n.opFrom, n.opTo, fix, "%s cannot be compared with %s: %s is %s, %s is %s", a.withArticle(), b.withArticle(), left, a.withArticle(), right, b.withArticle())
}

// formulaUnit is a unit as formulas write it: "mm/min", "deg".
func formulaUnit(u quantity.Unit) string {
	s := u.Spelling()
	if u == quantity.Inch {
		s = "inch"
	}
	return s
}

func (c *checker) power(n *node, base, exponent shape) shape {
	if exponent.dim != quantity.Pure {
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("write a plain number as the exponent"), "an exponent is a plain number, but %s is %s", c.text(n.args[1]), exponent.withArticle())
	}
	if base.dim == quantity.Pure {
		return numberShape()
	}
	p, fixed := literal(n.args[1])
	if !fixed {
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("write the exponent as a number"), "the exponent of %s must be written as a number: the unit of the result depends on it", base.withArticle())
	}
	if d, ok := powerDim(base.dim, p); ok {
		return quantityShape(d)
	}
	return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("write a whole exponent, or 1/2 for an area"), "%s to the power %s has no unit that can be written", base.withArticle(), c.text(n.args[1]))
}

// powerDim is the dimension of a power whose exponent is whole or a half. Beyond
// 12 no dimension can be written (package quantity).
func powerDim(d quantity.Dim, p float64) (quantity.Dim, bool) {
	if math.Abs(p) > 12 || 2*p != math.Floor(2*p) {
		return quantity.Dim{}, false
	}
	if p == math.Floor(p) {
		return d.Power(int(p))
	}
	root, ok := d.Root(2)
	if !ok {
		return quantity.Dim{}, false
	}
	return root.Power(int(2 * p))
}

// literal is the value of an exponent that is written as a number: 2, -1, 1/2.
func literal(n *node) (float64, bool) {
	switch {
	case n.form == numberForm:
		return n.number, true
	case n.form == unaryForm && n.op != "not":
		x, ok := literal(n.args[0])
		if n.op == "-" {
			x = -x
		}
		return x, ok
	case n.form == binaryForm && n.op == "/":
		a, ok := literal(n.args[0])
		b, also := literal(n.args[1])
		return a / b, ok && also && b != 0
	}
	return 0, false
}

func (c *checker) choose(n *node, in []shape) shape {
	if in[0].kind != truthKind {
		m := n.args[0]
		return c.errorf(problem.DimensionError, m.from, m.to, problem.Advise("write a comparison before the ?, such as a < b"), "%s is %s, but a comparison is expected before the ?", c.text(m), in[0].withArticle())
	}
	if in[1] != in[2] || in[1].kind == brushKind {
		return c.errorf(problem.DimensionError, n.args[1].from, n.args[2].to, sameKind, "the two values after the ? differ in kind: %s is %s, %s is %s", c.text(n.args[1]), in[1].withArticle(), c.text(n.args[2]), in[2].withArticle())
	}
	return in[1]
}

// quantities reports whether all arguments are quantities, and a problem for the
// first that is not.
func (c *checker) quantities(n *node, in []shape) bool {
	for i, s := range in {
		if !s.isQuantity() {
			c.notQuantity(n.args[i], s)
			return false
		}
	}
	return true
}

func sqrtShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	if d, ok := in[0].dim.Root(2); ok {
		return quantityShape(d)
	}
	return c.errorf(problem.DimensionError, n.args[0].from, n.args[0].to, problem.Advise("take the root of an area or of a plain number"), "the square root of %s has no unit", in[0].withArticle())
}

// sameKindShape is for functions whose arguments have one dimension, which is that
// of the result.
func sameKindShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	for i, s := range in {
		if s != in[0] {
			return c.errorf(problem.DimensionError, n.args[i].from, n.args[i].to, sameKind, "all arguments of %s must be of one kind: %s is %s, %s is %s", n.text, c.text(n.args[0]), in[0].withArticle(), c.text(n.args[i]), s.withArticle())
		}
	}
	return in[0]
}

// trigShape is for sine, cosine and tangent.
func trigShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	if in[0].dim == quantity.Angle {
		return numberShape()
	}
	a := n.args[0]
	fix := problem.Advise("write an angle, such as 14.3*deg")
	if in[0].dim == quantity.Pure {
		fix = problem.Advise("write (" + c.text(a) + ")*deg or (" + c.text(a) + ")*rad")
		switch {
		case a.form == numberForm && a.text == "π":
			fix = problem.Write(c.text(a) + "*rad")
		case a.form == numberForm:
			fix = problem.DidYouMean(c.text(a)+"*deg", c.text(a)+"*rad")
		}
	}
	return c.errorf(problem.DimensionError, a.from, a.to, fix, "%s takes an angle, but %s is %s", n.text, c.text(a), in[0].withArticle())
}

// inverseTrigShape is for the inverse functions of sine, cosine and tangent.
func inverseTrigShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	if in[0].dim == quantity.Pure {
		return quantityShape(quantity.Angle)
	}
	a := n.args[0]
	return c.errorf(problem.DimensionError, a.from, a.to, problem.Advise("divide it by a quantity of the same kind"), "%s takes a ratio, but %s is %s", n.text, c.text(a), in[0].withArticle())
}

func atan2Shape(c *checker, n *node, in []shape) shape {
	if !sameKindShape(c, n, in).known() {
		return shape{}
	}
	return quantityShape(quantity.Angle)
}

func stepShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	if len(in) == 1 && in[0].dim != quantity.Pure {
		a := n.args[0]
		return c.errorf(problem.DimensionError, n.opFrom, n.opTo, problem.Advise("add a step, such as "+n.text+"("+c.text(a)+", 0.1*"+formulaUnit(quantity.Usual(in[0].dim))+")"), "%s of %s needs a step", n.text, in[0].withArticle())
	}
	return sameKindShape(c, n, in)
}

func brushShape(c *checker, n *node, in []shape) shape {
	if in[0].kind != brushKind {
		a := n.args[0]
		return c.errorf(problem.DimensionError, a.from, a.to, problem.Advise("write the name of a brush"), "the first argument of %s must be a brush, but %s is %s", n.text, c.text(a), in[0].withArticle())
	}
	if in[1] != quantityShape(quantity.Length) {
		a := n.args[1]
		return c.errorf(problem.DimensionError, a.from, a.to, problem.Advise("write a length, such as 2*mm"), "%s takes a length, but %s is %s", n.text, c.text(a), in[1].withArticle())
	}
	return quantityShape(quantity.Length)
}

func sureShape(c *checker, n *node, in []shape) shape {
	if !c.quantities(n, in) {
		return shape{}
	}
	if in[1].dim != quantity.Pure {
		a := n.args[1]
		return c.errorf(problem.DimensionError, a.from, a.to, problem.Advise("write a number of standard uncertainties, such as 2"), "sure takes a plain number, but %s is %s", c.text(a), in[1].withArticle())
	}
	return in[0]
}

func tremorShape(c *checker, n *node, in []shape) shape {
	if c.kind != widthKind {
		return c.errorf(problem.NotAllowed, n.opFrom, n.opTo, problem.Advise("use it in the width of a layer"), "tremor works only in the width of a layer")
	}
	for i, want := range []quantity.Dim{quantity.Pure, quantity.Length, quantity.Length}[:len(in)] {
		if in[i] != quantityShape(want) {
			a := n.args[i]
			return c.errorf(problem.DimensionError, a.from, a.to, problem.Advise("write tremor(1, 0.1*mm) or tremor(1, 0.1*mm, 8*mm)"), "tremor takes %s as its %s, but %s is %s", want.WithArticle(), n.call.params[i], c.text(a), in[i].withArticle())
		}
	}
	return quantityShape(quantity.Length)
}
