package formula

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Fold converts a name to the form in which names are compared: Unicode normal
// form C, case folded, with one underscore for each run of spaces, hyphens and
// underscores.
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

// keywords holds the expression library's own words, which cannot be names.
var keywords = map[string]bool{
	"in": true, "not": true, "and": true, "or": true, "let": true, "if": true, "else": true,
	"matches": true, "contains": true, "startswith": true, "endswith": true, "true": true, "false": true, "nil": true,
}

// reserved says what a folded name already means: a unit, a function, a number, a
// word of the language. It is "" if the name is free.
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
		return "a fixed number"
	}
	if keywords[name] {
		return "a word of the formula language"
	}
	return ""
}

// validName reports whether a folded name can be written in a formula.
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

// correction is problem.Correction, but a word of up to four letters must keep its
// first letter: "map" is not corrected to "tan".
func correction(word string, candidates []string) problem.Fix {
	if len(word) > 4 {
		return problem.Correction(word, candidates)
	}
	first, _ := utf8.DecodeRuneInString(word) // the name "_" folds to ""
	alike := slices.DeleteFunc(slices.Clone(candidates), func(c string) bool {
		r, _ := utf8.DecodeRuneInString(c)
		return c == "" || unicode.ToLower(r) != unicode.ToLower(first)
	})
	return problem.Correction(word, alike)
}

// unitNames are the names of units in formulas.
var unitNames = func() []string {
	var out []string
	for _, u := range quantity.Units() {
		out = append(out, u.Formula)
	}
	return out
}()

func isUnit(word string) bool { _, ok := quantity.UnitByWord(word); return ok }

// unitName is the name that formulas use for a unit.
func unitName(u quantity.Unit) string {
	for _, help := range quantity.Units() {
		if help.Symbol == u.String() {
			return help.Formula
		}
	}
	return u.Spelling()
}

// formulaWord is the word itself or, if it is a unit as cells spell it, the name of
// that unit in formulas.
func formulaWord(word string) string {
	if u, err := quantity.ParseUnit(word); err == nil && !isUnit(word) {
		return unitName(u)
	}
	return word
}
