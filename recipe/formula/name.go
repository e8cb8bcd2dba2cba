package formula

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Fold gives the form in which names are compared: Unicode normal form C,
// capitals folded, each run of blanks, hyphens and underscores one underscore.
// "Fine-Sable" and "fine sable" are both "fine_sable".
func Fold(name string) string {
	ascii, same := true, true
	for i := 0; i < len(name); i++ {
		c := name[i]
		ascii = ascii && c < utf8.RuneSelf
		same = same && ('a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '.' || c == '_' && i > 0 && name[i-1] != '_')
	}
	if ascii && same {
		return strings.Trim(name, "_")
	}
	var b strings.Builder
	gap := false
	for _, r := range name {
		if unicode.IsSpace(r) || r == '_' || r == '-' || r == '‐' || r == '‑' {
			gap = b.Len() > 0
			continue
		}
		if gap {
			b.WriteByte('_')
			gap = false
		}
		b.WriteRune(r)
	}
	if ascii {
		return strings.ToLower(b.String())
	}
	return norm.NFC.String(cases.Fold().String(norm.NFC.String(b.String())))
}

// keywords are words of the expression library that cannot be names, with what
// to say about them.
var keywords = map[string]string{
	"in": "write inch for the unit", "not": "", "and": "", "or": "", "let": "", "if": "", "else": "",
	"matches": "", "contains": "", "startswith": "", "endswith": "", "true": "", "false": "", "nil": "",
}

// reserved says what a folded name already means: a unit, a function, a
// number, a word of the language; "" where it is free.
func reserved(name string) string {
	if u, ok := quantity.UnitByWord(name); ok {
		for _, help := range quantity.Units() {
			if help.Symbol == u.String() {
				meaning, _, _ := strings.Cut(help.Meaning, ",")
				return "a unit, the " + meaning + ","
			}
		}
	}
	if _, ok := functionByName[name]; ok {
		return "a function"
	}
	if _, ok := constants[name]; ok {
		return "a number of its own"
	}
	if _, ok := keywords[name]; ok {
		return "a word of the formula language"
	}
	return ""
}

// validName says whether a folded name can be written in a formula.
func validName(name string) bool {
	for part := range strings.SplitSeq(name, ".") {
		for i, r := range part {
			if !(unicode.IsLetter(r) || i > 0 && (unicode.IsDigit(r) || unicode.IsMark(r) || r == '_')) {
				return false
			}
		}
		if part == "" {
			return false
		}
	}
	return true
}

// nearestOf is problem.Nearest, but a word of up to four letters must keep its
// first one: map is not a slip of tan.
func nearestOf(word string, candidates []string) (string, bool) {
	near, ok := problem.Nearest(word, candidates)
	if ok && len(word) <= 4 && !strings.EqualFold(near[:1], word[:1]) {
		return "", false
	}
	return near, ok
}

// wordsOfUnits are the names of units in formulas.
var wordsOfUnits = func() []string {
	var out []string
	for _, u := range quantity.Units() {
		out = append(out, u.Formula)
	}
	return out
}()

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

// formulaWord is a word or, where it is a unit as cells spell it, the name of
// that unit in formulas.
func formulaWord(word string) string {
	if u, err := quantity.ParseUnit(word); err == nil && !isUnit(word) {
		return wordOf(u)
	}
	return word
}
