package quantity

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Header splits the text of a header cell into its words and the unit in
// brackets after them: "width (mm)" is "width" and mm. has reports whether
// there is a unit. Text in brackets that is not a unit is a problem.
func Header(text string, at source.Place) (words string, unit Unit, has bool, list problem.List) {
	words = strings.TrimSpace(text)
	open, shut := "([", ")]"
	if words == "" || !strings.ContainsRune(shut, rune(words[len(words)-1])) {
		return words, One, false, nil
	}
	bracket := strings.IndexByte(shut, words[len(words)-1])
	i := strings.LastIndexByte(words, open[bracket])
	if i < 0 {
		return words, One, false, nil
	}
	name := strings.TrimSpace(words[i+1 : len(words)-1])
	unit, err := ParseUnit(name)
	if err == nil && name != "" {
		return strings.TrimSpace(words[:i]), unit, true, nil
	}
	place := at
	if at.End-at.Start == len(text) {
		from := strings.Index(text, words) + i + 1
		place = at.Sub(from, from+len(words)-i-2)
	}
	fix := problem.Advise("write a unit in the brackets, such as mm")
	if better := unitFix(name); !better.None() {
		fix = better
	}
	list.Errorf(problem.UnknownUnit, place, fix, "%q is not a unit", name)
	return strings.TrimSpace(words[:i]), One, false, list
}
