package formula

import (
	"strconv"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// converter converts the library's tree into one of nodes.
type converter struct {
	*report
	span  func(file.Location) (from, to int) // bytes of the formula
	nodes int
	seen  map[ast.Node]bool // set if there are several comparisons, which may share an operand
}

// convert converts a node of the library's tree and refuses every node that is
// not on this list.
func (c *converter) convert(n ast.Node) *node {
	if n == nil || len(c.list) > 0 {
		return nil
	}
	from, to := c.span(n.Location())
	if c.nodes++; c.nodes > maxNodes {
		c.errorf(problem.FormulaTooLong, 0, len(c.f.Text), problem.Advise("split it into several named formulas"), "the formula has more than %d parts", maxNodes)
		return nil
	}
	if c.seen != nil {
		// a < b < c shares b between two comparisons.
		if c.seen[n] {
			c.errorf(problem.NotAllowed, from, to, problem.Advise("compare two at a time: a < b and b < c"), "three values cannot be compared at once")
			return nil
		}
		c.seen[n] = true
	}
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return c.numeral(from, to)
	case *ast.BoolNode:
		return &node{form: truthForm, truth: n.Value, from: from, to: to, opFrom: from, opTo: to}
	case *ast.IdentifierNode:
		return c.name(from, to, Fold(c.f.Text[from:to]))
	case *ast.MemberNode:
		return c.member(n)
	case *ast.UnaryNode:
		return c.operation(unaryForm, n.Operator, from, to, n.Node)
	case *ast.BinaryNode:
		return c.operation(binaryForm, n.Operator, from, to, n.Left, n.Right)
	case *ast.CallNode:
		if callee, ok := n.Callee.(*ast.IdentifierNode); ok {
			from, to = c.span(callee.Location())
			return c.call(from, to, n.Arguments)
		}
	case *ast.BuiltinNode:
		return c.call(from, to, n.Arguments)
	case *ast.ConditionalNode:
		if n.Ternary {
			choice := c.operation(chooseForm, "?", from, to, n.Cond, n.Exp1, n.Exp2)
			if choice != nil {
				// The library does not keep the place of the question mark.
				choice.opFrom, choice.opTo = choice.from, choice.to
			}
			return choice
		}
	}
	c.errorf(problem.NotAllowed, from, max(to, from), onlySigns, "this is not allowed in a formula")
	return nil
}

func (c *converter) numeral(from, to int) *node {
	text := plainDigits(c.f.Text[from:to])
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		c.errorf(problem.FormulaSyntax, from, to, problem.Advise("write the number with digits and a decimal point"), "%q is not a number", clip(text))
		return nil
	}
	return &node{form: numberForm, number: value, text: text, from: from, to: to, opFrom: from, opTo: to}
}

// name is a unit, a named number or a name to look up.
func (c *converter) name(from, to int, folded string) *node {
	n := &node{form: nameForm, text: folded, from: from, to: to, opFrom: from, opTo: to}
	if u, ok := quantity.UnitByWord(c.f.Text[from:to]); ok {
		n.form, n.unit, n.text = unitForm, u, c.f.Text[from:to]
	} else if value, ok := constants[folded]; ok {
		n.form, n.number, n.text = numberForm, value, "π"
	}
	return n
}

// member reads fine_sable.safe_press as one name.
func (c *converter) member(n *ast.MemberNode) *node {
	property, named := n.Property.(*ast.StringNode)
	from, to := c.span(n.Location())
	if named && !n.Optional && !n.Method {
		var owner *node
		switch inner := n.Node.(type) {
		case *ast.IdentifierNode, *ast.MemberNode:
			owner = c.convert(inner)
		}
		if owner == nil && len(c.list) > 0 {
			return nil
		}
		if owner != nil {
			_, to = c.span(property.Location())
			folded := Fold(c.f.Text[owner.from:owner.to]) + "." + Fold(c.f.Text[from:to])
			if owner.form == nameForm {
				folded = owner.text + "." + Fold(c.f.Text[from:to])
			}
			return &node{form: nameForm, text: folded, from: owner.from, to: to, opFrom: owner.from, opTo: to}
		}
	}
	c.errorf(problem.NotAllowed, from, to, problem.Advise("write a name before the point"), "a point is allowed only between two names")
	return nil
}

var operatorSynonyms = map[string]string{"**": "^", "&&": "and", "||": "or", "!": "not"}

func (c *converter) operation(f form, op string, at, end int, operands ...ast.Node) *node {
	if plain, ok := operatorSynonyms[op]; ok {
		op = plain
	}
	if !allowedOperators[op] {
		c.errorf(problem.NotAllowed, at, end, onlySigns, "%q is not allowed in a formula", op)
		return nil
	}
	n := &node{form: f, op: op, opFrom: at, opTo: end, from: at, to: end}
	for i, operand := range operands {
		child := c.convert(operand)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		if i == 0 && f != unaryForm {
			n.from = child.from
		}
		n.to = child.to
	}
	c.close(n)
	return n
}

// close takes in the brackets that belong to a part: those of a call's arguments, and
// those around an operand at its start or end, whose other half is inside.
func (c *converter) close(n *node) {
	text, open, before := c.f.Text, 0, 0
	for _, r := range text[n.from:n.to] {
		switch {
		case r == '(':
			open++
		case r == ')' && open > 0:
			open--
		case r == ')':
			before++
		}
	}
	for i := n.to; open > 0 && i < len(text); i++ {
		switch text[i] {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				n.to = i + 1
			}
		}
	}
	for i := n.from - 1; before > 0 && i >= 0; i-- {
		switch text[i] {
		case ')':
			before++
		case '(':
			if before--; before == 0 {
				n.from = i
			}
		}
	}
}

func (c *converter) call(at, end int, arguments []ast.Node) *node {
	name := Fold(c.f.Text[at:end])
	f := functionByName[name]
	if f == nil {
		c.errorf(problem.UnknownFunction, at, end, problem.Advise("the functions are "+strings.Join(functionNames, ", ")), "%q is not a function", clip(name))
		return nil
	}
	n := &node{form: callForm, call: f, text: f.name, opFrom: at, opTo: end, from: at, to: end}
	if len(arguments) < f.min || len(arguments) > f.max {
		c.errorf(problem.WrongArguments, at, end, problem.Advise("write "+f.Usage()), "%s takes %s, not %d", f.name, f.count(), len(arguments))
		return nil
	}
	for _, a := range arguments {
		child := c.convert(a)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		n.to = child.to
	}
	c.close(n)
	return n
}
