package formula

import (
	"html"
	"slices"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/quantity"
)

// The lines of a working as MathML Core (W3C, editor's draft of 2026-05-04),
// straight from the tree: fractions, roots, powers, Greek letters and
// subscripts.

// mathElement wraps a line. The readable text stands beside it for those who
// are shown or read no MathML.
func mathElement(inner, text string) string {
	return `<math alttext="` + html.EscapeString(text) + `"><mrow>` + inner + `</mrow></math>`
}

func element(name, inner string) string { return "<" + name + ">" + inner + "</" + name + ">" }

func row(parts ...string) string { return element("mrow", strings.Join(parts, "")) }

func sign(s string) string { return element("mo", html.EscapeString(s)) }

// fence puts round brackets round a part.
func fence(inner string) string { return row(sign("("), inner, sign(")")) }

func wrapMath(inner string, bind, least int) string {
	if bind < least {
		return fence(inner)
	}
	return inner
}

// numeral shows a printed number, its sign as an operator.
func numeral(text string) string {
	if rest, negative := strings.CutPrefix(text, "−"); negative {
		return row(sign("−"), numeral(rest))
	}
	if mantissa, power, ok := strings.Cut(text, "e"); ok {
		power = strings.TrimPrefix(power, "+")
		power = strings.Replace(power, "-", "−", 1)
		return row(element("mn", mantissa), sign("×"), element("msup", element("mn", "10")+numeral(power)))
	}
	if text == "π" {
		return element("mi", "π")
	}
	return element("mn", html.EscapeString(text))
}

// unitMath shows a unit upright behind its number.
func unitMath(u quantity.Unit) string {
	symbol := u.String()
	switch {
	case symbol == "":
		return ""
	case symbol == "°":
		return element("mtext", symbol)
	case strings.HasPrefix(symbol, "1/"):
		return element("mtext", symbol[1:])
	}
	return `<mspace width="0.2em"/>` + element("mtext", html.EscapeString(symbol))
}

func numberMath(text string, u quantity.Unit) string {
	if u == quantity.One {
		return numeral(text)
	}
	return row(numeral(text), unitMath(u))
}

// valueMath shows a result.
func valueMath(v Value) string {
	if v.kind != quantityKind {
		return element("mtext", html.EscapeString(v.String()))
	}
	return quantityMath(v.quantity)
}

func quantityMath(q quantity.Quantity) string {
	number, u := q.ShownDigits()
	if u == "" {
		return numberMath(number, q.Unit())
	}
	inner := row(numeral(number), sign("±"), numeral(u))
	if strings.HasPrefix(q.Unit().String(), "1/") {
		inner = fence(inner)
	}
	return row(inner, unitMath(q.Unit()))
}

var greek = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
	"iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "omicron": "ο", "rho": "ρ", "sigma": "σ",
	"tau": "τ", "upsilon": "υ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω",
}

func letters(word string) string {
	if g, ok := greek[word]; ok {
		return g
	}
	return word
}

// nameMath shows a name: what stands behind its first underscore is a
// subscript, the notebook stands before it.
func nameMath(name string) string {
	if i := strings.LastIndexByte(name, '.'); i >= 0 {
		owner := strings.ReplaceAll(strings.ReplaceAll(name[:i], "_", " "), ".", " ")
		return row(element("mtext", html.EscapeString(owner)), `<mspace width="0.3em"/>`, nameMath(name[i+1:]))
	}
	head, tail, ok := strings.Cut(name, "_")
	if !ok || head == "" || tail == "" {
		return element("mi", html.EscapeString(letters(name)))
	}
	words := strings.Split(tail, "_")
	for i := range words {
		words[i] = letters(words[i])
	}
	below := element("mtext", html.EscapeString(strings.Join(words, " ")))
	if len(words) == 1 && utf8.RuneCountInString(words[0]) == 1 {
		below = element("mi", html.EscapeString(words[0]))
	}
	return element("msub", element("mi", html.EscapeString(letters(head)))+below)
}

// leafMath shows a part without parts.
func leafMath(n *node, l leaf) string {
	switch {
	case n.form == readingForm:
		return quantityMath(n.reading)
	case n.form == unitForm, n.form == truthForm, l.name && l.text == "yes", l.name && l.text == "no":
		return element("mtext", html.EscapeString(l.text))
	case l.name:
		return nameMath(l.text)
	}
	return numberMath(l.text, l.unit)
}

// math shows a part; least is how tightly it must bind to stand without
// brackets.
func (s *shower) math(n *node, least int) string {
	if l, ok := s.leaf(n); ok {
		if l.name {
			return leafMath(n, l)
		}
		return wrapMath(leafMath(n, l), l.bind, least)
	}
	switch n.form {
	case callForm:
		return s.callMath(n)
	case chooseForm:
		return wrapMath(s.chooseMath(n), bindChoose, least)
	case unaryForm:
		if n.op == "not" {
			return wrapMath(row(element("mtext", "not\u00a0"), s.math(n.args[0], bindAtom)), bindCompare, least)
		}
		operand := s.math(n.args[0], s.behindSign(n.args[0]))
		if s.signed(n.args[0]) {
			operand = fence(s.math(n.args[0], 0))
		}
		return wrapMath(row(sign(map[string]string{"-": "−", "+": "+"}[n.op]), operand), bindProduct, least)
	}
	switch n.op {
	case "*", "/":
		return s.productMath(n, least)
	case "^":
		return wrapMath(element("msup", s.math(n.args[0], bindPower+1)+s.math(n.args[1], 0)), bindPower, least)
	}
	bind := bindOf(n.op)
	right := s.math(n.args[1], bind+1)
	if s.signed(n.args[1]) {
		right = fence(s.math(n.args[1], 0))
	}
	mark := sign(strings.TrimSpace(shownSigns[n.op]))
	if n.op == "and" || n.op == "or" {
		mark = element("mtext", "\u00a0"+n.op+"\u00a0") // plain blanks at the ends are dropped
	}
	return wrapMath(row(s.math(n.args[0], bind), mark, right), bind, least)
}

// productMath shows a product, each division as a fraction over all that
// stands before it.
func (s *shower) productMath(n *node, least int) string {
	factors := s.chain(n)
	shown := func(f factor, ask int) string {
		if l, ok := s.factorLeaf(f); ok && ask > bindProduct {
			ask = l.ask(true, false)
		}
		if !f.merged {
			return s.math(f.n, ask)
		}
		if f.leaf.name {
			return wrapMath(element("mtext", html.EscapeString(f.leaf.text)), f.leaf.bind, ask)
		}
		return wrapMath(numberMath(f.leaf.text, f.leaf.unit), f.leaf.bind, ask)
	}
	numeric := func(f factor) bool {
		if f.merged {
			return !f.leaf.name
		}
		l, ok := s.leaf(f.n)
		return ok && !l.name && l.text != "π"
	}
	ask := bindProduct
	if len(factors) > 1 && factors[1].divide {
		ask = 0 // alone above the line
	}
	text, fraction := shown(factors[0], ask), false
	for i, f := range factors[1:] {
		if f.divide {
			text, fraction = element("mfrac", text+shown(f, 0)), true
			continue
		}
		mark := "·"
		if numeric(f) && numeric(factors[i]) {
			mark = "×"
		}
		text, fraction = row(text, sign(mark), shown(f, bindProduct+1)), false
	}
	bind := bindProduct
	switch {
	case fraction && least <= bindProduct+1:
		bind = bindAtom // a fraction needs no brackets in a sum or a product
	case len(factors) == 1 && factors[0].merged:
		bind = factors[0].leaf.bind
	}
	return wrapMath(text, bind, least)
}

// callMath shows a function in the way of the trade: roots as roots.
func (s *shower) callMath(n *node) string {
	switch n.text {
	case "sqrt":
		return element("msqrt", s.math(n.args[0], 0))
	case "hypot":
		square := func(a *node) string {
			return element("msup", s.math(a, bindPower+1)+element("mn", "2"))
		}
		return element("msqrt", row(square(n.args[0]), sign("+"), square(n.args[1])))
	case "abs":
		return row(sign("|"), s.math(n.args[0], 0), sign("|"))
	case "floor", "ceil":
		if len(n.args) == 1 {
			open, shut := "⌊", "⌋"
			if n.text == "ceil" {
				open, shut = "⌈", "⌉"
			}
			return row(sign(open), s.math(n.args[0], 0), sign(shut))
		}
	}
	var inner []string
	for i, a := range n.args {
		if i > 0 {
			inner = append(inner, sign(","))
		}
		inner = append(inner, s.math(a, 0))
	}
	// U+2061 is the invisible sign of a function put to work.
	return row(nameMath(n.text), sign("\u2061"), fence(row(inner...)))
}

// chooseMath shows a choice by cases.
func (s *shower) chooseMath(n *node) string {
	cell := func(inner string) string { return element("mtd", inner) }
	return row(sign("{"), element("mtable",
		element("mtr", cell(s.math(n.args[1], 0))+cell(row(element("mtext", "if\u00a0"), s.math(n.args[0], 0))))+
			element("mtr", cell(s.math(n.args[2], 0))+cell(element("mtext", "otherwise")))))
}

func sortedOnce(names []string) []string {
	slices.Sort(names)
	return slices.Compact(names)
}
