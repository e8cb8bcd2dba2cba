package svg

import (
	"strconv"
	"strings"

	"mahlstick/runner/drawing/decimal"
)

// scanner reads numbers and words from an attribute.
type scanner struct {
	text string
	pos  int
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

func (s *scanner) skipBlanks() {
	for s.pos < len(s.text) && isBlank(s.text[s.pos]) {
		s.pos++
	}
}

// skipComma skips blanks and at most one comma.
func (s *scanner) skipComma() {
	s.skipBlanks()
	if s.pos < len(s.text) && s.text[s.pos] == ',' {
		s.pos++
		s.skipBlanks()
	}
}

func (s *scanner) atEnd() bool { s.skipBlanks(); return s.pos >= len(s.text) }

// number reads the longest number at the current place: "100-200" is two numbers, and
// so is "0.6.5".
//
// Source: SVG 2, section 9.3.9, "The grammar for path data".
func (s *scanner) number() (float64, bool) {
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
	v, ok := decimal.Parse([]byte(text[s.pos:p]))
	if ok {
		s.pos = p
	}
	return v, ok
}

// flag reads one digit 0 or 1; a number may follow without a space.
func (s *scanner) flag() (v float64, ok bool) {
	if s.pos < len(s.text) && (s.text[s.pos] == '0' || s.text[s.pos] == '1') {
		s.pos++
		return float64(s.text[s.pos-1] - '0'), true
	}
	return 0, false
}

// lengthUnit is a unit of lengths.
type lengthUnit struct {
	name string
	px   float64
}

// lengthUnits holds the units that do not depend on a font, in px.
//
// Source: CSS Values and Units Level 4, "Absolute lengths": 1in = 2.54cm = 96px, 1pt =
// 1in/72, 1pc = 12pt, 1Q = 1cm/40.
var lengthUnits = map[string]lengthUnit{
	"": {"px", 1}, "px": {"px", 1}, "pt": {"pt", 96.0 / 72}, "pc": {"pc", 16}, "in": {"in", 96},
	"cm": {"cm", 96 / 2.54}, "mm": {"mm", 96 / 25.4}, "q": {"Q", 96 / 101.6},
}

// pxMM is the length of a px in mm.
const pxMM = 25.4 / 96

// length is a length as written.
type length struct {
	value   float64
	unit    string // as in lengthUnits, "%" or ""
	percent bool
}

// px is the length in px; whole is what percentages refer to.
func (l length) px(whole float64) float64 {
	if l.percent {
		return float64(l.value * whole / 100)
	}
	return float64(l.value * lengthUnits[l.unit].px)
}

// text is the length as it was written.
func (l length) text() string { return strconv.FormatFloat(l.value, 'f', -1, 64) + l.unit }

// parseLength reads a length. Units that depend on a font are refused.
func parseLength(text string) (length, bool) {
	s := &scanner{text: strings.TrimSpace(text)}
	v, ok := s.number()
	if !ok {
		return length{}, false
	}
	unit := strings.ToLower(s.text[s.pos:])
	if unit == "%" {
		return length{v, unit, true}, true
	}
	_, ok = lengthUnits[unit]
	return length{v, unit, false}, ok
}
