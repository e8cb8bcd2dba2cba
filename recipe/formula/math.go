package formula

import (
	"html"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/quantity"
)

// This file writes the lines of a working as MathML Core (W3C, editor's draft of
// 2026-05-04): fractions, roots, powers, Greek letters and subscripts.

// pen writes MathML.
type pen []byte

func (p *pen) put(s string) { *p = append(*p, s...) }

// element writes one line, with its text for browsers and screen readers without
// MathML.
func (p *pen) element(text string, inner func(*pen)) {
	p.put(`<math alttext="`)
	p.put(html.EscapeString(text))
	p.put(`"><mrow>`)
	inner(p)
	p.put("</mrow></math>")
}

func (p *pen) token(name, text string) {
	p.put("<" + name + ">")
	p.put(html.EscapeString(text))
	p.put("</" + name + ">")
}

func (p *pen) sign(s string) { p.put("<mo>"); p.put(html.EscapeString(s)); p.put("</mo>") }
func (p *pen) word(s string) { p.put("<mtext>"); p.put(html.EscapeString(s)); p.put("</mtext>") }
func (p *pen) row()          { p.put("<mrow>") }
func (p *pen) endRow()       { p.put("</mrow>") }

// numeral writes a printed number, with its sign as an operator.
func (p *pen) numeral(text string) {
	if rest, negative := strings.CutPrefix(text, "−"); negative {
		p.row()
		p.sign("−")
		p.numeral(rest)
		p.endRow()
		return
	}
	if mantissa, power, ok := strings.Cut(text, "e"); ok {
		power = strings.Replace(strings.TrimPrefix(power, "+"), "-", "−", 1)
		p.row()
		p.token("mn", mantissa)
		p.put("<mo>×</mo><msup><mn>10</mn>")
		p.numeral(power)
		p.put("</msup>")
		p.endRow()
		return
	}
	if text == "π" {
		p.put("<mi>π</mi>")
		return
	}
	p.token("mn", text)
}

// unit writes a unit upright after its number.
func (p *pen) unit(u quantity.Unit) {
	symbol := u.String()
	switch {
	case symbol == "":
	case symbol == "°":
		p.word(symbol)
	case strings.HasPrefix(symbol, "1/"):
		p.word(symbol[1:])
	default:
		p.put(`<mspace width="0.2em"/>`)
		p.word(symbol)
	}
}

func (p *pen) number(text string, u quantity.Unit) {
	if u == quantity.One {
		p.numeral(text)
		return
	}
	p.row()
	p.numeral(text)
	p.unit(u)
	p.endRow()
}

// value writes a result.
func (p *pen) value(v Value) {
	if v.kind != quantityKind {
		p.word(v.String())
		return
	}
	p.quantity(v.quantity)
}

func (p *pen) quantity(q quantity.Quantity) {
	number, u := q.ShownDigits()
	if u == "" {
		p.number(number, q.Unit())
		return
	}
	brackets := strings.HasPrefix(q.Unit().String(), "1/")
	p.row()
	if brackets {
		p.sign("(")
	}
	p.row()
	p.numeral(number)
	p.sign("±")
	p.numeral(u)
	p.endRow()
	if brackets {
		p.sign(")")
	}
	p.unit(q.Unit())
	p.endRow()
}

var greek = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
	"iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "omicron": "ο", "rho": "ρ", "sigma": "σ",
	"tau": "τ", "upsilon": "υ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω",
}

func symbolOf(word string) string {
	if g, ok := greek[word]; ok {
		return g
	}
	return word
}

// name writes a name as one word, as typed. Only a letter with a short index, such
// as r_1 or alpha_max, is written as a symbol with a subscript.
func (p *pen) name(name string) {
	head, index, _ := strings.Cut(name, "_")
	symbol := symbolOf(head)
	short := index != "" && utf8.RuneCountInString(index) <= 3 && !strings.Contains(index, "_")
	switch {
	case utf8.RuneCountInString(symbol) == 1 && short:
		p.put("<msub>")
		p.token("mi", symbol)
		p.token("mi", symbolOf(index))
		p.put("</msub>")
	default:
		p.token("mi", symbolOf(name))
	}
}

// leafMath writes a part that is a leaf.
func (p *part) leafMath(to *pen) {
	switch l := p.leaf; {
	case p.n.form == readingForm:
		to.quantity(*p.n.reading)
	case l.name && p.n.form == nameForm && l.text == p.n.text:
		to.name(l.text)
	case l.name:
		to.word(l.text)
	default:
		to.number(l.text, l.unit)
	}
}

// math writes a part, in brackets if it binds less tightly than minBind.
func (p *part) math(to *pen, minBind int) {
	bind := p.bind
	if p.isProduct() && p.args[len(p.args)-1].divide && minBind <= bindProduct+1 {
		bind = bindAtom // a fraction needs no brackets in a sum or a product
	}
	if bind < minBind {
		to.row()
		to.sign("(")
		p.math(to, 0)
		to.sign(")")
		to.endRow()
		return
	}
	switch {
	case p.isProduct():
		p.productMath(to)
		return
	case p.isLeaf():
		p.leafMath(to)
		return
	}
	switch p.n.form {
	case callForm:
		p.callMath(to)
	case chooseForm:
		p.chooseMath(to)
	case unaryForm:
		to.row()
		switch p.n.op {
		case "not":
			to.word("not\u00a0")
			p.args[0].math(to, bindAtom)
		case "-":
			to.sign("−")
			p.args[0].math(to, p.args[0].afterSign(p.args[0].factorBind(false)))
		default:
			to.sign("+")
			p.args[0].math(to, p.args[0].afterSign(p.args[0].factorBind(false)))
		}
		to.endRow()
	default:
		p.binaryMath(to)
	}
}

func (p *part) binaryMath(to *pen) {
	if p.n.op == "^" {
		to.put("<msup>")
		p.args[0].math(to, bindPower+1)
		p.args[1].math(to, 0)
		to.put("</msup>")
		return
	}
	to.row()
	p.args[0].math(to, p.bind)
	if p.n.op == "and" || p.n.op == "or" {
		to.word("\u00a0" + p.n.op + "\u00a0") // plain spaces at the ends are dropped
	} else {
		to.sign(strings.TrimSpace(shownSigns[p.n.op]))
	}
	p.args[1].math(to, p.args[1].afterSign(p.bind+1))
	to.endRow()
}

// numeric reports whether a factor is a number, which takes × as its operator.
func (p *part) numeric() bool { return p.isLeaf() && !p.leaf.name && p.leaf.text != "π" }

// productMath writes a product. Each division is a fraction whose numerator is
// everything before it; factors between two divisions share a row.
func (p *part) productMath(to *pen) {
	f := p.args
	for i := len(f) - 1; i > 0; i-- {
		switch {
		case f[i].divide:
			to.put("<mfrac>")
		case i == len(f)-1 || f[i+1].divide:
			to.row()
		}
	}
	if f[1].divide {
		f[0].math(to, 0) // alone above the line
	} else {
		f[0].math(to, bindProduct)
	}
	for i := 1; i < len(f); i++ {
		if f[i].divide {
			f[i].math(to, 0)
			to.put("</mfrac>")
			continue
		}
		if f[i].numeric() && f[i-1].numeric() {
			to.sign("×")
		} else {
			to.sign("·")
		}
		f[i].math(to, f[i].factorBind(false))
		if i == len(f)-1 || f[i+1].divide {
			to.endRow()
		}
	}
}

// enclosingSigns are the signs around the argument of some functions.
var enclosingSigns = map[string][2]string{"abs": {"|", "|"}, "floor": {"⌊", "⌋"}, "ceil": {"⌈", "⌉"}}

// callMath writes a function as mathematicians do: a root as a root.
func (p *part) callMath(to *pen) {
	switch p.n.text {
	case "sqrt":
		to.put("<msqrt>")
		p.args[0].math(to, 0)
		to.put("</msqrt>")
		return
	case "hypot":
		to.put("<msqrt><mrow><msup>")
		p.args[0].math(to, bindPower+1)
		to.put("<mn>2</mn></msup><mo>+</mo><msup>")
		p.args[1].math(to, bindPower+1)
		to.put("<mn>2</mn></msup></mrow></msqrt>")
		return
	}
	to.row()
	if signs, ok := enclosingSigns[p.n.text]; ok && len(p.args) == 1 {
		to.sign(signs[0])
		p.args[0].math(to, 0)
		to.sign(signs[1])
		to.endRow()
		return
	}
	to.token("mi", p.n.text)
	to.sign("\u2061") // FUNCTION APPLICATION, which is invisible
	to.row()
	to.sign("(")
	to.row()
	for i := range p.args {
		if i > 0 {
			to.sign(",")
		}
		if a := p.args[i]; p.n.call.takesBrush() && i == 0 && a.leaf.name {
			to.name(a.leaf.text)
			continue
		}
		p.args[i].math(to, 0)
	}
	to.endRow()
	to.sign(")")
	to.endRow()
	to.endRow()
}

// chooseMath writes a choice as cases.
func (p *part) chooseMath(to *pen) {
	to.put("<mrow><mo>{</mo><mtable><mtr><mtd>")
	p.args[1].math(to, 0)
	to.put("</mtd><mtd><mrow>")
	to.word("if\u00a0")
	p.args[0].math(to, 0)
	to.put("</mrow></mtd></mtr><mtr><mtd>")
	p.args[2].math(to, 0)
	to.put("</mtd><mtd>")
	to.word("otherwise")
	to.put("</mtd></mtr></mtable></mrow>")
}
