package formula

import (
	"slices"
	"strings"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/working"
)

// How tightly the parts of a formula bind when they are shown; only the order of
// these numbers matters. A part that binds less tightly than its surroundings
// require is put in brackets: the tree itself has none.
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

var binds = map[string]int{"or": bindOr, "and": bindAnd, "+": bindSum, "-": bindSum, "*": bindProduct, "/": bindProduct, "^": bindPower}

func bindOf(op string) int {
	if b, ok := binds[op]; ok {
		return b
	}
	return bindCompare
}

// working makes the lines of one result: formula, numbers put in, result.
func (b *batch) working(r *Result, to *pen) working.Working {
	f := r.Formula
	w := working.Working{Name: f.Name, Remark: f.Remark, Place: f.Place, Formula: f.Text, Result: r.Value.String()}
	named, filled := (&partBuilder{}).part(f.root), (&partBuilder{value: b.value}).part(f.root)
	*to = filled.text((*to)[:0], 0)
	w.Filled = string(*to)
	w.FormulaMath = to.line(w.Formula, func(p *pen) { named.math(p, 0) })
	w.FilledMath = to.line(w.Filled, func(p *pen) { filled.math(p, 0) })
	w.ResultMath = to.line(w.Result, func(p *pen) { p.value(r.Value) })
	if f.Name != "" {
		w.NameMath = to.line(f.Name, func(p *pen) { p.name(f.Name) })
	}
	for _, name := range f.names {
		full := b.fullName(name)
		if _, derived := b.index[full]; !derived && !slices.Contains(w.Needs, full) {
			if v, ok := b.scope.Lookup(name); ok {
				if q, number := v.Quantity(); number {
					w.Given = append(w.Given, working.Given{Name: full, Value: q.Short()})
				}
			}
		}
		w.Needs = append(w.Needs, full)
	}
	slices.Sort(w.Needs)
	w.Needs = slices.Compact(w.Needs)
	return w
}

// line writes one line of MathML.
func (p *pen) line(text string, write func(*pen)) string {
	*p = (*p)[:0]
	p.element(text, write)
	return string(*p)
}

// leaf is the smallest part: a number with its unit, or a name.
type leaf struct {
	text string        // the number as printed, or the name
	unit quantity.Unit // of a number
	name bool
}

// negative reports whether the number has a minus.
func (l leaf) negative() bool { return strings.HasPrefix(l.text, "−") }

func (l leaf) bind() int {
	symbol := l.unit.String()
	switch {
	case l.name:
		return bindAtom
	case strings.Contains(symbol, "/"), l.negative():
		return bindProduct
	case symbol != "", strings.ContainsAny(l.text, "e/"):
		return bindUnit
	}
	return bindAtom
}

// part is a part of a formula as it is shown: a leaf, a product or quotient
// taken apart into its factors, or an operator or function with its operands.
type part struct {
	n      *node // nil for a product
	leaf   leaf
	args   []part
	divide bool // a factor that divides
	bind   int
	signed bool // begins with a minus
}

func (p *part) isLeaf() bool    { return p.n != nil && len(p.args) == 0 }
func (p *part) isProduct() bool { return p.n == nil }

// factorBind is how tightly a factor must bind to need no brackets: 0.8 × 750
// mm/min can be read in only one way, 3 / 750 mm/min in two.
func (p *part) factorBind(first bool) int {
	if first || p.isLeaf() && !p.divide && !p.signed {
		return bindProduct
	}
	return bindProduct + 1
}

// partBuilder makes the parts of a formula to show: with names or, if value is set,
// with the values of the names.
type partBuilder struct {
	value func(*node) (Value, bool)
}

func (s *partBuilder) part(n *node) part {
	if l, ok := s.leaf(n); ok {
		return leafPart(n, l)
	}
	if n.form == binaryForm && (n.op == "*" || n.op == "/") {
		factors := s.factors(n)
		if len(factors) == 1 {
			return factors[0]
		}
		return part{args: factors, bind: bindProduct, signed: factors[0].signed}
	}
	p := part{n: n, args: make([]part, len(n.args)), bind: bindAtom}
	for i, a := range n.args {
		p.args[i] = s.part(a)
	}
	switch {
	case n.form == chooseForm:
		p.bind = bindChoose
	case n.form == unaryForm && n.op == "not":
		p.bind = bindCompare
	case n.form == unaryForm:
		p.bind, p.signed = bindProduct, n.op == "-"
	case n.form == binaryForm:
		p.bind = bindOf(n.op)
	}
	return p
}

func leafPart(n *node, l leaf) part {
	p := part{n: n, leaf: l, bind: l.bind(), signed: l.negative()}
	if n.form == readingForm {
		p.bind = bindSum
	}
	return p
}

// leaf returns the leaf of a node that is one.
func (s *partBuilder) leaf(n *node) (leaf, bool) {
	switch n.form {
	case numberForm:
		return leaf{text: n.text}, true
	case unaryForm:
		if m := n.args[0]; n.op == "-" && m.form == numberForm {
			return leaf{text: "−" + m.text}, true
		}
	case unitForm:
		return leaf{text: n.unit.String(), name: true}, true
	case readingForm:
		return leaf{text: n.reading.String()}, true
	case truthForm:
		return leaf{text: OfTruth(n.truth).String(), name: true}, true
	case nameForm:
		if s.value != nil {
			v, ok := s.value(n)
			switch {
			case ok && v.kind == quantityKind:
				return leaf{text: v.quantity.ShortDigits(), unit: v.quantity.Unit()}, true
			case ok && v.kind == truthKind:
				return leaf{text: v.String(), name: true}, true
			}
		}
		return leaf{text: n.text, name: true}, true
	}
	return leaf{}, false
}

// factors lists the factors of a product from left to right. A number and the units
// that follow it are one factor: 750*mm/min.
func (s *partBuilder) factors(n *node) []part {
	var out []part
	if unit, ok := unitOf(n); ok {
		return []part{unitPart(n, unit)}
	}
	if n.form != binaryForm || n.op != "*" && n.op != "/" {
		return []part{s.part(n)}
	}
	out = s.factors(n.args[0])
	right := n.args[1]
	if unit, ok := unitOf(right); ok {
		last := &out[len(out)-1]
		if joined, ok := last.withUnit(unit, n.op == "/"); ok {
			*last = joined
			return out
		}
		p := unitPart(right, unit)
		p.divide = n.op == "/"
		return append(out, p)
	}
	p := s.part(right)
	p.divide = n.op == "/"
	return append(out, p)
}

// unitPart shows a part made of units only.
func unitPart(n *node, u quantity.Unit) part {
	p := part{n: n, leaf: leaf{text: u.String(), name: true}, bind: bindUnit}
	if strings.ContainsAny(p.leaf.text, "/·") {
		p.bind = bindProduct
	}
	return p
}

// withUnit joins a number and the unit that follows it into one part. ok is false
// if the two cannot be shown as one.
func (p *part) withUnit(u quantity.Unit, divide bool) (part, bool) {
	l := p.leaf
	if !p.isLeaf() || p.divide || l.name || l.text == "π" || p.n.form == readingForm || l.unit == quantity.Percent {
		return part{}, false
	}
	// The value of a name is not joined with units that follow the name.
	if l.unit != quantity.One && p.n.form == nameForm {
		return part{}, false
	}
	if u == quantity.Percent {
		if divide || l.unit != quantity.One {
			return part{}, false
		}
		l.unit = u
		return p.with(l), true
	}
	if !sameBases(l.unit, u) {
		return part{}, false
	}
	unit, ok := l.unit.Times(u)
	if divide {
		unit, ok = l.unit.Per(u)
	}
	l.unit = unit
	return p.with(l), ok
}

// joinedNode is the node of all leaves that are a number joined with units.
var joinedNode = &node{form: numberForm}

func (p *part) with(l leaf) part {
	return part{n: joinedNode, leaf: l, bind: l.bind(), signed: l.negative()}
}

// sameBases reports whether a product of two units needs no factor: mm·inch is
// not written as one unit.
func sameBases(u, v quantity.Unit) bool {
	ab, ok1 := u.Times(v)
	ba, ok2 := v.Times(u)
	return ok1 && ok2 && ab == ba
}

// unitOf is the unit that a part is, if it consists only of units.
func unitOf(n *node) (quantity.Unit, bool) {
	switch {
	case n.form == unitForm:
		return n.unit, true
	case n.form == binaryForm && n.op == "^":
		u, ok := unitOf(n.args[0])
		if !ok || u == quantity.Percent {
			return u, false
		}
		p, fixed := literal(n.args[1])
		if !fixed || p != float64(int(p)) {
			return u, false
		}
		return u.Power(int(p))
	case n.form == binaryForm && (n.op == "*" || n.op == "/"):
		u, ok := unitOf(n.args[0])
		if !ok {
			return u, false
		}
		v, ok := unitOf(n.args[1])
		if !ok || !sameBases(u, v) || u == quantity.Percent || v == quantity.Percent {
			return u, false
		}
		if n.op == "*" {
			return u.Times(v)
		}
		return u.Per(v)
	}
	return quantity.One, false
}

var shownSigns = map[string]string{"+": " + ", "-": " − ", "<": " < ", ">": " > ", "<=": " ≤ ", ">=": " ≥ ", "==": " = ", "!=": " ≠ ", "and": " and ", "or": " or "}

// text appends a part on one line, in brackets if it binds less tightly than
// minBind.
func (p *part) text(to []byte, minBind int) []byte {
	if p.bind < minBind {
		to = append(to, '(')
		return append(p.text(to, 0), ')')
	}
	switch {
	case p.isProduct():
		for i := range p.args {
			f := &p.args[i]
			switch {
			case i == 0:
			case f.divide:
				to = append(to, " / "...)
			default:
				to = append(to, " × "...)
			}
			to = f.text(to, f.factorBind(i == 0))
		}
		return to
	case p.isLeaf():
		return append(to, p.leaf.unit.Attach(p.leaf.text)...)
	}
	switch p.n.form {
	case callForm:
		to = append(append(to, p.n.text...), '(')
		for i := range p.args {
			if i > 0 {
				to = append(to, ", "...)
			}
			to = p.args[i].text(to, 0)
		}
		return append(to, ')')
	case chooseForm:
		to = append(p.args[0].text(to, bindChoose+1), " ? "...)
		to = append(p.args[1].text(to, bindChoose+1), " : "...)
		return p.args[2].text(to, bindChoose+1)
	case unaryForm:
		switch p.n.op {
		case "not":
			return p.args[0].text(append(to, "not "...), bindAtom)
		case "-":
			to = append(to, "−"...)
		default:
			to = append(to, '+')
		}
		return p.args[0].text(to, p.args[0].afterSign(p.args[0].factorBind(false)))
	}
	if p.n.op == "^" {
		to = append(p.args[0].text(to, bindPower+1), '^')
		return p.args[1].text(to, bindPower)
	}
	to = append(p.args[0].text(to, p.bind), shownSigns[p.n.op]...)
	return p.args[1].text(to, p.args[1].afterSign(p.bind+1))
}

// afterSign is how tightly a part must bind to need no brackets after a + or −: a
// part that starts with a sign always gets brackets there.
func (p *part) afterSign(minBind int) int {
	if p.signed {
		return bindAtom
	}
	return minBind
}
