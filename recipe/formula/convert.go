package formula

import (
	"strconv"
	"strings"

	"github.com/expr-lang/expr/ast"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// convert turns the library's tree into ours and refuses every node that is
// not on this list.
func (d *exprParser) convert(n ast.Node) *node {
	if n == nil || len(d.list) > 0 {
		return nil
	}
	from, to := d.span(n.Location())
	if d.nodes++; d.nodes > largestFormula {
		d.errorf(problem.FormulaTooLong, 0, len(d.text), problem.Advise("part it into several named formulas"), "the formula has more than %d parts", largestFormula)
		return nil
	}
	if d.seen != nil {
		// a < b < c shares b between two comparisons.
		if d.seen[n] {
			d.errorf(problem.NotAllowed, from, to, problem.Advise("compare two at a time: a < b and b < c"), "three cannot be compared at once")
			return nil
		}
		d.seen[n] = true
	}
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return d.numeral(from, to)
	case *ast.BoolNode:
		return &node{form: truthForm, truth: n.Value, from: from, to: to, at: from, end: to}
	case *ast.IdentifierNode:
		return d.name(from, to, Fold(d.text[from:to]))
	case *ast.MemberNode:
		return d.member(n)
	case *ast.UnaryNode:
		return d.operation(unaryForm, n.Operator, from, to, n.Node)
	case *ast.BinaryNode:
		return d.operation(binaryForm, n.Operator, from, to, n.Left, n.Right)
	case *ast.CallNode:
		if callee, ok := n.Callee.(*ast.IdentifierNode); ok {
			from, to = d.span(callee.Location())
			return d.call(from, to, n.Arguments)
		}
	case *ast.BuiltinNode:
		return d.call(from, to, n.Arguments)
	case *ast.ConditionalNode:
		if n.Ternary {
			c := d.operation(chooseForm, "?", from, to, n.Cond, n.Exp1, n.Exp2)
			if c != nil {
				// The library keeps no place of the question mark.
				c.at, c.end = c.from, c.to
			}
			return c
		}
	}
	d.errorf(problem.NotAllowed, from, max(to, from), problem.Advise("write only names, numbers, + - * / ^ and brackets"), "this has no place in a formula")
	return nil
}

func (d *exprParser) numeral(from, to int) *node {
	text := lowered(d.text[from:to])
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		d.errorf(problem.FormulaSyntax, from, to, problem.Advise("write the number with digits and a point"), "%q is not a number", clip(text))
		return nil
	}
	return &node{form: numberForm, number: value, text: text, from: from, to: to, at: from, end: to}
}

// name is a unit, a named number or a name to look up.
func (d *exprParser) name(from, to int, folded string) *node {
	n := &node{form: nameForm, text: folded, from: from, to: to, at: from, end: to}
	if u, ok := quantity.UnitByWord(d.text[from:to]); ok {
		n.form, n.unit, n.text = unitForm, u, d.text[from:to]
	} else if value, ok := constants[folded]; ok {
		n.form, n.number, n.text = numberForm, value, "π"
	}
	return n
}

// member reads fine_sable.safe_press as one name.
func (d *exprParser) member(n *ast.MemberNode) *node {
	property, named := n.Property.(*ast.StringNode)
	from, to := d.span(n.Location())
	if named && !n.Optional && !n.Method {
		var owner *node
		switch inner := n.Node.(type) {
		case *ast.IdentifierNode, *ast.MemberNode:
			owner = d.convert(inner)
		}
		if owner == nil && len(d.list) > 0 {
			return nil
		}
		if owner != nil {
			_, to = d.span(property.Location())
			folded := Fold(d.text[owner.from:owner.to]) + "." + Fold(d.text[from:to])
			if owner.form == nameForm {
				folded = owner.text + "." + Fold(d.text[from:to])
			}
			return &node{form: nameForm, text: folded, from: owner.from, to: to, at: owner.from, end: to}
		}
	}
	d.errorf(problem.NotAllowed, from, to, problem.Advise("write a name before the point"), "a point only stands between two names")
	return nil
}

var operators = map[string]string{"**": "^", "&&": "and", "||": "or", "!": "not"}

func (d *exprParser) operation(f form, op string, at, end int, operands ...ast.Node) *node {
	if plain, ok := operators[op]; ok {
		op = plain
	}
	if !signs[op] {
		d.errorf(problem.NotAllowed, at, end, problem.Advise("write only names, numbers, + - * / ^ and brackets"), "%q has no place in a formula", op)
		return nil
	}
	n := &node{form: f, op: op, at: at, end: end, from: at, to: end}
	for i, operand := range operands {
		child := d.convert(operand)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		if i == 0 && f != unaryForm {
			n.from = child.from
		}
		n.to = child.to
	}
	return n
}

func (d *exprParser) call(at, end int, arguments []ast.Node) *node {
	name := Fold(d.text[at:end])
	f := functionByName[name]
	if f == nil {
		d.errorf(problem.UnknownFunction, at, end, problem.Advise("the functions are "+strings.Join(functionNames, ", ")), "%q is no function", clip(name))
		return nil
	}
	n := &node{form: callForm, call: f, text: f.name, at: at, end: end, from: at, to: end}
	if len(arguments) < f.min || len(arguments) > f.max {
		d.errorf(problem.WrongArguments, at, end, problem.Advise("write "+f.Usage()), "%s takes %s, not %d", f.name, f.count(), len(arguments))
		return nil
	}
	for _, a := range arguments {
		child := d.convert(a)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		n.to = child.to
	}
	return n
}

func isUnit(word string) bool { _, ok := quantity.UnitByWord(word); return ok }

// wordOf gives the name in a formula of a unit that was read from a cell's
// spelling.
func wordOf(u quantity.Unit) string {
	for _, help := range quantity.Units() {
		if help.Symbol == u.String() {
			return help.Formula
		}
	}
	return u.Spelling()
}
