package drawing

import "strings"

// svgScan reads numbers and words out of an attribute.
type svgScan struct {
	text string
	pos  int
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

func (s *svgScan) blanks() {
	for s.pos < len(s.text) && isBlank(s.text[s.pos]) {
		s.pos++
	}
}

// comma skips blanks and at most one comma.
func (s *svgScan) comma() {
	s.blanks()
	if s.pos < len(s.text) && s.text[s.pos] == ',' {
		s.pos++
		s.blanks()
	}
}

func (s *svgScan) done() bool { s.blanks(); return s.pos >= len(s.text) }

// number reads a number as far as it reaches: "100-200" are two of them, and
// so are "0.6.5".
//
// Source: SVG 2, section 9.3.9, "The grammar for path data".
func (s *svgScan) number() (float64, bool) {
	p, text := s.pos, s.text
	if p < len(text) && (text[p] == '+' || text[p] == '-') {
		p++
	}
	digits := 0
	for p < len(text) && text[p]-'0' <= 9 {
		p++
		digits++
	}
	if p < len(text) && text[p] == '.' {
		p++
		for p < len(text) && text[p]-'0' <= 9 {
			p++
			digits++
		}
	}
	if digits == 0 {
		return 0, false
	}
	if p < len(text) && text[p]|0x20 == 'e' {
		q := p + 1
		if q < len(text) && (text[q] == '+' || text[q] == '-') {
			q++
		}
		if q < len(text) && text[q]-'0' <= 9 {
			for q < len(text) && text[q]-'0' <= 9 {
				q++
			}
			p = q
		}
	}
	v, ok := parseNumber([]byte(text[s.pos:p]))
	if ok {
		s.pos = p
	}
	return v, ok
}

// flag reads one digit 0 or 1, which may stand right before a number.
func (s *svgScan) flag() (set, ok bool) {
	if s.pos < len(s.text) && (s.text[s.pos] == '0' || s.text[s.pos] == '1') {
		s.pos++
		return s.text[s.pos-1] == '1', true
	}
	return false, false
}

// The units of lengths in px. Source: CSS Values and Units Level 4, "Absolute
// lengths": 1in = 2.54cm = 96px, 1pt = 1in/72, 1pc = 12pt, 1Q = 1cm/40.
var cssUnits = map[string]lengthUnit{
	"": {"px", 1}, "px": {"px", 1}, "pt": {"pt", 96.0 / 72}, "pc": {"pc", 16}, "in": {"in", 96},
	"cm": {"cm", 96 / 2.54}, "mm": {"mm", 96 / 25.4}, "q": {"Q", 96 / 101.6},
}

// pxMM is the length of a px in mm.
const pxMM = 25.4 / 96

// svgLength is a length as it was written.
type svgLength struct {
	value   float64
	unit    string // as in cssUnits, "%" or ""
	percent bool
}

// px is the length in px; percentages are of whole.
func (l svgLength) px(whole float64) float64 {
	if l.percent {
		return float64(l.value * whole / 100)
	}
	return float64(l.value * cssUnits[l.unit].mm)
}

// parseLength reads a length. Units that depend on a font are refused.
func parseLength(text string) (svgLength, bool) {
	s := &svgScan{text: strings.TrimSpace(text)}
	v, ok := s.number()
	if !ok {
		return svgLength{}, false
	}
	unit := strings.ToLower(s.text[s.pos:])
	if unit == "%" {
		return svgLength{v, unit, true}, true
	}
	_, ok = cssUnits[unit]
	return svgLength{v, unit, false}, ok
}
