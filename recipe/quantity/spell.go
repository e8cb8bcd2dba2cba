package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// baseUnit is a base unit by its place in the table.
type baseUnit struct{ axis, index int }

// unit is the base unit itself.
func (c baseUnit) unit() Unit {
	u, _ := c.power(1)
	return u
}

// power is a power of the base unit; false where the exponent is too large.
func (c baseUnit) power(n int) (Unit, bool) {
	var e [axes]int
	e[c.axis] = n
	dim, ok := dimOf(e)
	u := Unit{dim: dim}
	u.choice[c.axis] = uint8(c.index)
	return u, ok
}

// spellings maps each spelling allowed in a cell to its base unit, words
// each name allowed in a formula.
var spellings, words = func() (map[string]baseUnit, map[string]baseUnit) {
	s, w := map[string]baseUnit{}, map[string]baseUnit{}
	for axis, list := range bases {
		for i, b := range list {
			c := baseUnit{axis, i}
			w[b.word], s[b.symbol], s[b.word] = c, c, c
			for _, other := range b.spelling {
				s[other] = c
			}
		}
	}
	// U+00B5 and U+03BC look the same; both name the micrometre.
	w["µm"], w["μm"] = w["um"], w["um"]
	return s, w
}()

// longNames maps words for units that a recipe does not accept to what to write
// instead.
var longNames = map[string]string{
	"millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mms": "mm",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"micron": "um", "microns": "um", "mu": "um",
	"degree": "deg", "degrees": "deg", "degs": "deg", "radian": "rad", "radians": "rad", "rads": "rad",
	"second": "s", "seconds": "s", "sec": "s", "secs": "s", "minute": "min", "minutes": "min", "mins": "min",
	"hour": "h", "hours": "h", "hr": "h", "hrs": "h", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g",
	"kilogram": "kg", "kilograms": "kg", "percent": "%", "pixel": "px", "pixels": "px", "point": "pt", "points": "pt",
}

// UnitError reports which part of a text is not a unit. From and To count
// bytes.
type UnitError struct {
	Text     string // the part
	From, To int
	Fix      problem.Fix // of the part; none if no unit is similar
}

func (e *UnitError) Error() string { return `"` + e.Text + `" is not a unit` }

// ParseUnit reads a unit as it is written in a cell: "mm", "mm/min", "mm/s²",
// "mm/s^2", "1/mm", "°", "%". Case matters: "MM" is not a unit. The error is a
// *UnitError.
func ParseUnit(text string) (Unit, error) {
	if text == "%" || text == "percent" {
		return Percent, nil
	}
	p := unitParser{text: text, sign: 1}
	if strings.HasPrefix(text, "1/") {
		p.at = 1
	}
	for first := true; first || p.at < len(text); first = false {
		if !first || p.at == 1 || strings.HasPrefix(text, "/") {
			if !p.operator() {
				return One, p.wrong()
			}
		}
		if err := p.factor(); err != nil {
			return One, err
		}
	}
	return p.unit, nil
}

// unitParser is the state of ParseUnit.
type unitParser struct {
	text    string
	at      int
	unit    Unit
	sign    int // of the exponents: -1 after a /
	divided bool
}

// wrong reports that the whole text is not a unit.
func (p *unitParser) wrong() *UnitError { return &UnitError{Text: p.text, To: len(p.text)} }

// operator reads the sign before a factor.
func (p *unitParser) operator() bool {
	r, size := utf8.DecodeRuneInString(p.text[p.at:])
	switch r {
	case '/', '⁄', '∕':
		p.sign, p.divided = -1, true
	case '·', '⋅', '*', '×':
		// a/b·c is read in two ways (ISO 80000-1:2009, 7.2.3).
		if p.divided {
			return false
		}
	default:
		return false
	}
	p.at += size
	return true
}

// factor reads a base unit with its exponent and multiplies the unit by it.
func (p *unitParser) factor() error {
	end := p.at
	for end < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[end:])
		if !unicode.IsLetter(r) && !strings.ContainsRune("°º″\"”", r) {
			break
		}
		end += size
	}
	word := p.text[p.at:end]
	c, ok := spellings[word]
	if !ok {
		return &UnitError{Text: word, From: p.at, To: end, Fix: unitFix(word)}
	}
	exponent, size := scanPower(p.text[end:])
	if exponent == 0 {
		return p.wrong()
	}
	joined, ok := c.power(exponent * p.sign)
	if ok && p.unit != One {
		if before := p.unit.dim.exponents()[c.axis]; before != 0 && p.unit.choice[c.axis] != joined.choice[c.axis] {
			return p.wrong() // mm·in would need a factor
		}
		joined, ok = p.unit.Times(joined)
	}
	if !ok {
		return p.wrong()
	}
	p.unit, p.at = joined, end+size
	return nil
}

const superscriptDigits = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// scanPower reads ², ^2, **2, ⁻¹, ^-1 or a bare 2 at the start of s. The exponent
// is 1 if there is none, and 0 if it is malformed.
func scanPower(s string) (exponent, size int) {
	start, sign := 0, 1
	marked := false
	if strings.HasPrefix(s, "**") {
		start, marked = 2, true
	} else if strings.HasPrefix(s, "^") {
		start, marked = 1, true
	}
	at := start
	for at < len(s) {
		r, n := utf8.DecodeRuneInString(s[at:])
		d := strings.IndexRune(superscriptDigits, r)
		switch {
		case at == start && (r == '⁻' || marked && (r == '-' || r == '−')):
			sign = -1
		case isDigit(r):
			exponent = exponent*10 + int(r-'0')
		case d >= 0:
			exponent = exponent*10 + utf8.RuneCountInString(superscriptDigits[:d])
		default:
			if at == start && !marked {
				return 1, 0
			}
			return exponent * sign, at
		}
		at += n
		if exponent > maxExponent {
			return 0, at
		}
	}
	if at == 0 {
		return 1, 0
	}
	return exponent * sign, at
}

// unitFix is the fix for a word that is not a unit; none if no unit is similar.
func unitFix(word string) problem.Fix {
	if long, ok := longNames[strings.ToLower(word)]; ok {
		return problem.Write(long)
	}
	for _, list := range bases {
		for _, b := range list {
			if strings.EqualFold(b.symbol, word) || strings.EqualFold(b.word, word) {
				return problem.Write(b.word)
			}
		}
	}
	return problem.Correction(word, unitWords())
}

// unitWords are the names of the base units in formulas.
func unitWords() []string {
	var all []string
	for _, list := range bases {
		for _, b := range list {
			all = append(all, b.word)
		}
	}
	return all
}

// GuessUnit returns the unit that was meant by a word that formulas do not accept,
// such as "millimetres" or "sec"; false if that is not certain.
func GuessUnit(word string) (Unit, bool) {
	if u, err := ParseUnit(word); err == nil {
		return u, true
	}
	long, ok := longNames[strings.ToLower(word)]
	if !ok {
		names := make([]string, 0, len(longNames))
		for name := range longNames {
			if len(name) > 4 { // shorter words are too easily taken for another
				names = append(names, name)
			}
		}
		near, found := problem.Nearest(word, names)
		if long, ok = longNames[near]; !found || problem.Distance(word, near) > 1 {
			return Unit{}, false
		}
	}
	u, err := ParseUnit(long)
	return u, ok && err == nil
}

// Spelling is the unit in characters that every keyboard has, as ParseUnit
// accepts them: "deg", "um", "mm/s^2".
func (u Unit) Spelling() string {
	if u.percent {
		return "%"
	}
	s := u.String()
	for _, list := range bases {
		for _, b := range list {
			if b.symbol == "°" || b.symbol == "µm" {
				s = strings.ReplaceAll(s, b.symbol, b.word)
			}
		}
	}
	var b strings.Builder
	power := false
	for _, r := range s {
		digit := strings.IndexRune(superscriptDigits, r)
		switch {
		case r == '⁻':
			b.WriteString("^-")
			power = true
			continue
		case digit >= 0:
			if !power {
				b.WriteByte('^')
			}
			b.WriteByte(byte('0' + utf8.RuneCountInString(superscriptDigits[:digit])))
			power = true
			continue
		case r == '·':
			r = '*'
		}
		power = false
		b.WriteRune(r)
	}
	return b.String()
}

// UnitByWord finds a unit by its name in a formula: "mm", "inch", "min",
// "deg", "percent".
func UnitByWord(word string) (Unit, bool) {
	if word == "percent" {
		return Percent, true
	}
	c, ok := words[word]
	if !ok {
		return One, false
	}
	return c.unit(), true
}

// UnitHelp describes one unit for the table of the guide.
type UnitHelp struct {
	Symbol  string   // as printed
	Cells   []string // as it may be written in a cell
	Formula string   // its name in a formula
	Dim     Dim
	Meaning string
}

// Units lists all base units in the order of the guide.
func Units() []UnitHelp {
	var out []UnitHelp
	for axis, list := range bases {
		for i, b := range list {
			cells := append([]string{b.symbol}, b.spelling...)
			out = append(out, UnitHelp{b.symbol, cells, b.word, baseUnit{axis, i}.unit().dim, b.help})
		}
	}
	return append(out, UnitHelp{"%", []string{"%", "percent"}, "percent", Pure, "one in a hundred"})
}
