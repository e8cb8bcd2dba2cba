package formula

import (
	"strings"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/working"
)

// How tightly the parts of a formula bind when they are shown. A part that
// binds less than its surroundings ask for stands in brackets: the tree has
// none of its own.
const (
	bindChoose  = 1
	bindOr      = 10
	bindAnd     = 15
	bindCompare = 20
	bindSum     = 30
	bindProduct = 60
	bindUnit    = 95 // a number with its unit: 5 mm^2 would mislead
	bindPower   = 100
	bindAtom    = 1000
)

// shower shows the tree of a formula, with names or with the values of the
// names put in.
type shower struct {
	filled bool
	value  func(*node) (Value, bool)
}

// working is the three lines of one result.
func (b *batch) working(r *Result) working.Working {
	f := r.Formula
	w := working.Working{Name: f.Name, Remark: f.Remark, Place: f.Place, Formula: f.Text, Result: r.Value.String()}
	named, filled := shower{value: b.value}, shower{filled: true, value: b.value}
	w.Filled = filled.text(f.root, 0)
	w.FormulaMath = mathElement(named.math(f.root, 0), w.Formula)
	w.FilledMath = mathElement(filled.math(f.root, 0), w.Filled)
	w.ResultMath = mathElement(valueMath(r.Value), w.Result)
	if f.Name != "" {
		w.NameMath = mathElement(nameMath(f.Name), f.Name)
	}
	for _, name := range f.Names() {
		w.Needs = append(w.Needs, b.full(name))
	}
	w.Needs = sortedOnce(w.Needs)
	return w
}

// leaf is a part without parts: its number and unit or its name, and how
// tightly it binds.
type leaf struct {
	text string        // the number as printed, or the name
	unit quantity.Unit // of a number
	name bool
	bind int
}

// negative says whether the number has a minus.
func (l leaf) negative() bool { return strings.HasPrefix(l.text, "−") }

func (l leaf) String() string { return l.unit.Attach(l.text) }

// number makes the leaf of a number with its unit.
func number(text string, unit quantity.Unit) leaf {
	l := leaf{text: text, unit: unit, bind: bindAtom}
	symbol := unit.String()
	switch {
	case strings.Contains(symbol, "/"), l.negative():
		l.bind = bindProduct
	case symbol != "" || strings.Contains(text, "e"), strings.Contains(text, "/"):
		l.bind = bindUnit
	}
	return l
}

// leaf gives the leaf of a node that is one.
func (s *shower) leaf(n *node) (leaf, bool) {
	switch n.form {
	case numberForm:
		return number(n.text, quantity.One), true
	case unaryForm:
		if m := n.args[0]; n.op == "-" && m.form == numberForm {
			return number("−"+m.text, quantity.One), true
		}
	case unitForm:
		return leaf{text: n.unit.String(), name: true, bind: bindAtom}, true
	case readingForm:
		return leaf{text: n.reading.String(), bind: bindSum}, true
	case truthForm:
		return leaf{text: map[bool]string{true: "yes", false: "no"}[n.truth], name: true, bind: bindAtom}, true
	case nameForm:
		if s.filled {
			v, ok := s.value(n)
			switch {
			case ok && v.kind == quantityKind:
				return number(v.quantity.ShortDigits(), v.quantity.Unit()), true
			case ok && v.kind == truthKind:
				return leaf{text: v.String(), name: true, bind: bindAtom}, true
			}
		}
		return leaf{text: n.text, name: true, bind: bindAtom}, true
	}
	return leaf{}, false
}

// factor is one part of a product or quotient. A number takes the units that
// follow it along: 750*mm/min is one factor.
type factor struct {
	divide bool
	n      *node
	merged bool // leaf stands for n and the units behind it
	leaf   leaf
}

// chain takes a product apart from left to right.
func (s *shower) chain(n *node) []factor {
	var out []factor
	var flatten func(n *node, divide bool)
	flatten = func(n *node, divide bool) {
		if n.form == binaryForm && (n.op == "*" || n.op == "/") && !divide {
			if _, unit := unitOf(n); !unit {
				flatten(n.args[0], false)
				right := n.args[1]
				out = append(out, factor{divide: n.op == "/", n: right})
				return
			}
		}
		out = append(out, factor{divide: divide, n: n})
	}
	flatten(n, false)
	var joined []factor
	for i := 0; i < len(out); i++ {
		f := out[i]
		text, open := "", false
		if l, ok := s.leaf(f.n); ok && !f.divide && !l.name && l.unit == quantity.One && f.n.form != readingForm {
			text, open = l.text, l.text != "π"
		}
		unit, isUnit := unitOf(f.n)
		if isUnit && !f.divide {
			f.merged, f.leaf = true, leaf{text: unit.String(), name: true, bind: unitBind(unit)}
		}
		if open || isUnit && !f.divide {
			start := quantity.One
			if isUnit {
				start = unit
			}
			for i+1 < len(out) {
				next, ok := unitOf(out[i+1].n)
				if !ok || next == quantity.Percent && start != quantity.One || start == quantity.Percent {
					break
				}
				combined, fits := start.Times(next)
				if out[i+1].divide {
					combined, fits = start.Per(next)
				}
				if next == quantity.Percent {
					combined, fits = next, !out[i+1].divide
				}
				if !fits || !sameBases(start, next) {
					break
				}
				start, i = combined, i+1
				f.merged, f.leaf = true, number(text, start)
				if isUnit {
					f.leaf = leaf{text: start.String(), name: true, bind: unitBind(start)}
				}
			}
		}
		joined = append(joined, f)
	}
	return joined
}

// factorLeaf is the leaf that a factor is shown as, if it is one.
func (s *shower) factorLeaf(f factor) (leaf, bool) {
	if f.merged {
		return f.leaf, true
	}
	return s.leaf(f.n)
}

// ask is how tightly a leaf must bind to stand without brackets in a product:
// 0.8 × 750 mm/min can only be read in one way, 3 / 750 mm/min in two.
func (l leaf) ask(later, divide bool) int {
	if later && (divide || l.negative()) {
		return bindProduct + 1
	}
	return bindProduct
}

func unitBind(u quantity.Unit) int {
	if strings.ContainsAny(u.String(), "/·") {
		return bindProduct
	}
	return bindUnit
}

// sameBases says whether a product of two units needs no factor: mm·inch is
// not written as one unit.
func sameBases(u, v quantity.Unit) bool {
	ab, ok1 := u.Times(v)
	ba, ok2 := v.Times(u)
	return ok1 && ok2 && ab == ba
}

// unitOf is the unit that a part made of units only stands for.
func unitOf(n *node) (quantity.Unit, bool) {
	switch {
	case n.form == unitForm:
		return n.unit, true
	case n.form == binaryForm && n.op == "^":
		u, ok := unitOf(n.args[0])
		p, fixed := literal(n.args[1])
		if !ok || !fixed || u == quantity.Percent || p != float64(int(p)) {
			return u, false
		}
		return u.Power(int(p))
	case n.form == binaryForm && (n.op == "*" || n.op == "/"):
		u, ok := unitOf(n.args[0])
		v, also := unitOf(n.args[1])
		if !ok || !also || !sameBases(u, v) || u == quantity.Percent || v == quantity.Percent {
			return u, false
		}
		if n.op == "*" {
			return u.Times(v)
		}
		return u.Per(v)
	}
	return quantity.One, false
}

// wrap puts brackets round a text that binds less than is asked for.
func wrap(text string, bind, least int) string {
	if bind < least {
		return "(" + text + ")"
	}
	return text
}

// signed says whether a part begins with a minus when it is shown.
func (s *shower) signed(n *node) bool {
	if l, ok := s.leaf(n); ok {
		return l.negative()
	}
	return n.form == unaryForm && n.op == "-" || n.form == binaryForm && (n.op == "*" || n.op == "/") && s.signed(n.args[0])
}

// behindSign is how tightly a part must bind to stand behind a minus without
// brackets; a number with its unit may.
func (s *shower) behindSign(n *node) int {
	if l, ok := s.leaf(n); ok {
		return l.ask(true, false)
	}
	return bindProduct + 1
}

var shownSigns = map[string]string{"+": " + ", "-": " − ", "<": " < ", ">": " > ", "<=": " ≤ ", ">=": " ≥ ", "==": " = ", "!=": " ≠ ", "and": " and ", "or": " or "}

// binds is how tightly an operator binds when it is shown.
var binds = map[string]int{"or": bindOr, "and": bindAnd, "+": bindSum, "-": bindSum, "*": bindProduct, "/": bindProduct, "^": bindPower}

func bindOf(op string) int {
	if b, ok := binds[op]; ok {
		return b
	}
	return bindCompare
}

// text shows a part on one line; least is how tightly it must bind to stand
// without brackets.
func (s *shower) text(n *node, least int) string {
	if l, ok := s.leaf(n); ok {
		if l.name {
			return l.text
		}
		return wrap(l.String(), l.bind, least)
	}
	switch n.form {
	case callForm:
		args := make([]string, len(n.args))
		for i, a := range n.args {
			args[i] = s.text(a, 0)
		}
		return n.text + "(" + strings.Join(args, ", ") + ")"
	case chooseForm:
		return wrap(s.text(n.args[0], bindChoose+1)+" ? "+s.text(n.args[1], bindChoose+1)+" : "+s.text(n.args[2], bindChoose+1), bindChoose, least)
	case unaryForm:
		if n.op == "not" {
			return wrap("not "+s.text(n.args[0], bindAtom), bindCompare, least)
		}
		sign := map[string]string{"-": "−", "+": "+"}[n.op]
		operand := s.text(n.args[0], s.behindSign(n.args[0]))
		if s.signed(n.args[0]) && !strings.HasPrefix(operand, "(") {
			operand = "(" + operand + ")"
		}
		return wrap(sign+operand, bindProduct, least)
	}
	switch n.op {
	case "*", "/":
		factors := s.chain(n)
		text, bind := "", bindProduct
		for i, f := range factors {
			part := ""
			if l, ok := s.factorLeaf(f); ok {
				part = wrap(l.String(), l.bind, l.ask(i > 0, f.divide))
			} else if i == 0 {
				part = s.text(f.n, bindProduct)
			} else {
				part = s.text(f.n, bindProduct+1)
			}
			switch {
			case i == 0:
				text = part
			case f.divide:
				text += " / " + part
			default:
				text += " × " + part
			}
			if len(factors) == 1 && f.merged {
				bind = f.leaf.bind
			}
		}
		return wrap(text, bind, least)
	case "^":
		return wrap(s.text(n.args[0], bindPower+1)+"^"+s.text(n.args[1], bindPower), bindPower, least)
	}
	bind := bindOf(n.op)
	right := s.text(n.args[1], bind+1)
	if s.signed(n.args[1]) && !strings.HasPrefix(right, "(") {
		right = "(" + right + ")"
	}
	return wrap(s.text(n.args[0], bind)+shownSigns[n.op]+right, bind, least)
}
