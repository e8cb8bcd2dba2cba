package quantity

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Want describes what a cell should hold. The zero Want asks for a plain
// number; a number without ± is then exact.
type Want struct {
	Dim Dim  // the dimension
	Any bool // any dimension will do; Dim is ignored
	// Unit is the unit of a bare number, from the header of its column. Header
	// reports that there is one.
	Unit   Unit
	Header bool
	// Usual is the unit that a fix proposes; by default Usual(Dim).
	Usual Unit
	// Example is a correct text, for fixes; by default 8 in the usual unit.
	Example string
	// Resolution is the step of the instrument. A reading without ± gets the
	// standard uncertainty step/√12 (JCGM 100:2008, F.2.2.1). By default none.
	Resolution Quantity
}

// Of is the Want for one dimension.
func Of(d Dim) Want { return Want{Dim: d} }

// usual is the unit that fixes show.
func (w Want) usual() Unit {
	switch {
	case w.Usual != One:
		return w.Usual
	case w.Any:
		return MM
	}
	return Usual(w.Dim)
}

// uncertainForm shows the form of a value with its uncertainty.
const uncertainForm = "2.40 ± 0.05 mm"

// unitWords lists the base units of the wanted dimension.
func (w Want) unitWords() []string {
	var out []string
	for axis, e := range w.Dim.exponents() {
		if e == 0 && !w.Any {
			continue
		}
		for _, b := range bases[axis] {
			out = append(out, b.word)
		}
	}
	return out
}

// maxCellBytes bounds the bytes of a quantity.
const maxCellBytes = 200

// Parse reads a quantity as it is written in a cell: "8 mm", "8mm", "2,4 mm",
// "2.40 ± 0.05 mm", "2.40(5) mm", "1½ in", "14.3°". The place is that of text
// in the file; it also names the reading that the uncertainty belongs to. With
// any error on the list the quantity is not valid.
//
// The codes are missing-value, not-a-quantity, wrong-number, ambiguous-number,
// number-out-of-range, missing-unit, unknown-unit, wrong-dimension and
// wrong-uncertainty.
func Parse(text string, at source.Place, want Want) (Quantity, problem.List) {
	p := quantityParser{want: want, at: at, exact: at.End-at.Start == len(text)}
	start := len(text) - len(strings.TrimLeftFunc(text, unicode.IsSpace))
	p.text = strings.TrimSpace(text)
	p.shift = start
	q := p.read()
	if len(p.list) > 0 {
		return Quantity{}, p.list
	}
	return q, nil
}

// quantityParser is the state of Parse.
type quantityParser struct {
	want  Want
	at    source.Place
	exact bool   // offsets into the text are offsets into the file
	shift int    // spaces before the text
	text  string // without spaces around it
	list  problem.List
}

// place is that of some bytes of the trimmed text.
func (p *quantityParser) place(from, to int) source.Place {
	if !p.exact {
		return p.at
	}
	return p.at.Sub(p.shift+from, p.shift+to)
}

func (p *quantityParser) whole() source.Place { return p.place(0, len(p.text)) }

// example is a correct quantity of the wanted kind.
func (p *quantityParser) example() string {
	if p.want.Example != "" {
		return p.want.Example
	}
	return assemble("8", "", p.want.usual())
}

func (p *quantityParser) wanted() string {
	if p.want.Any {
		return "a quantity"
	}
	return p.want.Dim.WithArticle()
}

// side is a number with its unit: one side of ±.
type side struct {
	number
	unit    Unit
	hasUnit bool   // a unit is written
	text    string // as written
}

func (p *quantityParser) read() Quantity {
	switch {
	case p.text == "":
		p.list.Errorf(problem.MissingValue, p.whole(), problem.Advise("write "+p.wanted()+", such as "+p.example()), "%s is expected here", p.wanted())
		return Quantity{}
	case len(p.text) > maxCellBytes:
		p.list.Errorf(problem.NotAQuantity, p.whole(), problem.Advise("write "+p.wanted()+", such as "+p.example()), "%d characters are too many for a quantity", utf8.RuneCountInString(p.text))
		return Quantity{}
	case !utf8.ValidString(p.text):
		p.list.Errorf(problem.NotAQuantity, p.whole(), problem.Advise("save the file as UTF-8"), "the text is not valid UTF-8")
		return Quantity{}
	}
	left, right, split := p.text, "", false
	from := 0
	for _, sign := range []string{"±", "+/-", "+/−", "+-", "+−"} {
		if i := strings.Index(p.text, sign); i >= 0 {
			left, right, from, split = p.text[:i], p.text[i+len(sign):], i+len(sign), true
			break
		}
	}
	if !split {
		value, u, ok := p.readSide(left, 0)
		if !ok {
			return Quantity{}
		}
		return p.finish(value, side{number: u}, u.text != "")
	}
	// (2.40 ± 0.05) mm is the same as 2.40 ± 0.05 mm.
	if trimmed := strings.TrimLeft(left, " "); strings.HasPrefix(trimmed, "(") {
		if close := strings.IndexByte(right, ')'); close >= 0 {
			open := strings.IndexByte(left, '(')
			left = strings.Repeat(" ", open+1) + left[open+1:]
			right = right[:close] + " " + right[close+1:]
		}
	}
	value, short, ok := p.readSide(left, 0)
	if !ok {
		return Quantity{}
	}
	u, shortOfU, ok := p.readSide(right, from)
	if !ok {
		return Quantity{}
	}
	if short.text != "" || shortOfU.text != "" || u.value < 0 || strings.HasPrefix(u.number.text, "−") {
		p.list.Errorf(problem.WrongUncertainty, p.whole(), problem.Advise("write one standard uncertainty after ±, as in "+uncertainForm),
			"the part after ± in %q is not a standard uncertainty", p.text)
		return Quantity{}
	}
	return p.finish(value, u, true)
}

// readSide reads a number with an optional unit. short is the uncertainty in
// brackets, as in 2.40(5).
func (p *quantityParser) readSide(text string, from int) (value side, short number, ok bool) {
	trimmed := strings.TrimLeftFunc(text, unicode.IsSpace)
	from += len(text) - len(trimmed)
	n, size, wrong := scanNumber(trimmed)
	switch {
	case wrong != nil:
		p.reportNumber(trimmed, from, wrong)
		return side{}, number{}, false
	case size == 0:
		p.list.Errorf(problem.NotAQuantity, p.whole(), problem.Advise("write "+p.wanted()+", such as "+p.example()), "%q is not a quantity", p.text)
		return side{}, number{}, false
	}
	rest := trimmed[size:]
	if strings.HasPrefix(rest, "(") {
		digits, end := leadingDigits(rest, 1)
		if digits == "" || end >= len(rest) || rest[end] != ')' || n.last == 0 || len(digits) > 4 {
			p.list.Errorf(problem.WrongUncertainty, p.whole(), problem.Advise("write one standard uncertainty after ±, as in "+uncertainForm), "%q is not a number with its uncertainty", trimmed)
			return side{}, number{}, false
		}
		// JCGM 100:2008, 7.2.2, second form: the last digits' uncertainty.
		short, _, _ = scanNumber(digits)
		short.value = float64(short.value * n.last)
		short.text = "(" + digits + ")"
		size += end + 1
		rest = trimmed[size:]
	}
	space := len(rest) - len(strings.TrimLeftFunc(rest, unicode.IsSpace))
	name := strings.TrimSpace(rest)
	value = side{number: n, text: strings.TrimSpace(trimmed)}
	if name == "" {
		return value, short, true
	}
	unit, err := ParseUnit(name)
	if err != nil {
		p.reportUnit(name, from+size+space, err.(*UnitError))
		return side{}, number{}, false
	}
	value.unit, value.hasUnit = unit, true
	return value, short, true
}

// reportNumber reports a number that is wrong, or that can be read in two ways.
func (p *quantityParser) reportNumber(text string, from int, wrong *fault) {
	var spelled []string
	for _, better := range wrong.corrections {
		spelled = append(spelled, strings.ReplaceAll(p.text[:from]+better+p.text[from+wrong.end:], "−", "-"))
	}
	switch {
	case wrong.code == problem.AmbiguousNumber:
		p.list.Errorf(wrong.code, p.whole(), problem.DidYouMean(spelled...), "%q can be read in two ways", p.text)
	case wrong.certain:
		p.list.Errorf(wrong.code, p.whole(), problem.Write(spelled[0]), "%q %s", text[:wrong.end], wrong.message)
	case len(spelled) > 0:
		p.list.Errorf(wrong.code, p.whole(), problem.DidYouMean(spelled...), "%q %s", text[:wrong.end], wrong.message)
	default:
		p.list.Errorf(wrong.code, p.whole(), problem.Advise("write "+p.wanted()+" with plain digits, such as "+p.example()), "%q %s", text[:wrong.end], wrong.message)
	}
}

// reportUnit reports a text that is in the place of a unit but is none.
func (p *quantityParser) reportUnit(name string, from int, e *UnitError) {
	first, rest, more := strings.Cut(name, " ")
	if _, err := ParseUnit(first); more && err == nil {
		if joined := strings.Join(strings.Fields(strings.ReplaceAll(" "+name+" ", " per ", " / ")), ""); joined != name {
			if _, err := ParseUnit(joined); err == nil {
				p.list.Errorf(problem.UnknownUnit, p.place(from, from+len(name)), problem.Write(joined), "the unit %q must be written without spaces", name)
				return
			}
		}
		fix := problem.Advise("write one quantity in a cell")
		if !strings.ContainsAny(rest, "0123456789") && !strings.ContainsRune(p.text, '±') {
			fix = problem.Advise("write the number and its unit alone: " + strings.TrimSpace(p.text[:from]+first))
		}
		p.list.Errorf(problem.UnknownUnit, p.whole(), fix, "%q after the unit is unexpected", strings.TrimSpace(rest))
		return
	}
	place := p.place(from, from+len(name))
	usual := p.want.usual().Spelling()
	if e.Fix.CanApply() {
		p.list.Errorf(problem.UnknownUnit, p.place(from+e.From, from+e.To), e.Fix, "%q is not a unit", e.Text)
		return
	}
	if fix := problem.Correction(name, append(p.want.unitWords(), usual)); !fix.None() {
		p.list.Errorf(problem.UnknownUnit, place, fix, "%q is not a unit", name)
		return
	}
	p.list.Errorf(problem.UnknownUnit, place, problem.Advise("write a known unit, such as "+usual), "%q is not a unit", name)
}

// finish joins the value and its uncertainty.
func (p *quantityParser) finish(value, u side, stated bool) Quantity {
	unit, known := value.unit, value.hasUnit
	if !known && u.hasUnit && u.unit != Percent {
		unit, known = u.unit, true
	}
	if !known && u.hasUnit && u.unit == Percent {
		// In 15 ± 2 % both are per cent; a length such as 8 ± 2 % has no unit.
		unit, known = Percent, p.want.Any || p.want.Dim == Pure
	}
	if !known {
		switch {
		case p.want.Header:
			unit = p.want.Unit
		case p.want.Any, p.want.Dim == Pure:
		default:
			fix := p.text + " " + p.want.usual().Spelling()
			if u.hasUnit {
				fix = value.text + " " + p.want.usual().Spelling() + " ± " + u.text
			}
			p.list.Errorf(problem.MissingUnit, p.whole(), problem.DidYouMean(fix), "%q has no unit; %s is expected", p.text, p.wanted())
			return Quantity{}
		}
	}
	if !p.want.Any && unit.dim != p.want.Dim {
		p.list.Errorf(problem.WrongDimension, p.whole(), problem.Advise("write "+p.wanted()+", such as "+p.example()), "%q is %s, but %s is expected", p.text, unit.dim.WithArticle(), p.wanted())
		return Quantity{}
	}
	relative := stated && u.hasUnit && u.unit == Percent && unit != Percent
	q := Quantity{number: value.value, unit: unit}
	from := Reading{p.at.Name(), p.at.Start}
	if !p.at.Known() {
		from.File = "text: " + p.text
	}
	switch {
	case !stated:
		q.typed = assemble(value.number.text, "", unit)
		if r := p.want.Resolution; r.number != 0 && r.unit.dim == unit.dim {
			q.parts = appendPart(nil, from, math.Abs(r.In(unit))/math.Sqrt(12))
		}
		return q
	case u.number.text != "" && strings.HasPrefix(u.number.text, "("):
		q.typed = assemble(value.number.text+u.number.text, "", unit)
		q.parts = appendPart(nil, from, u.value)
	case relative:
		q.typed = assemble(value.number.text, "", unit) + " ± " + u.number.text + " %"
		q.parts = appendPart(nil, from, math.Abs(float64(value.value*u.value))/100)
	case u.hasUnit && u.unit != unit:
		if u.unit.dim != unit.dim {
			p.list.Errorf(problem.WrongUncertainty, p.whole(), problem.Advise("use the same unit for both, as in "+uncertainForm), "in %q the uncertainty is %s, but the value is %s", p.text, u.unit.dim.WithArticle(), unit.dim.WithArticle())
			return Quantity{}
		}
		q.typed = assemble(value.number.text, "", unit) + " ± " + assemble(u.number.text, "", u.unit)
		q.parts = appendPart(nil, from, u.unit.Convert(u.value, unit))
	default:
		q.typed = assemble(value.number.text, u.number.text, unit)
		q.parts = appendPart(nil, from, u.value)
	}
	return q
}
