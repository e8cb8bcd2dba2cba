package formula

import (
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// unknownName reports a name that is none of the known ones. hyphened is the
// end of the last name that was found to be written with hyphens; the rest of
// it is not reported again.
func unknownName(f *Formula, n *node, known []string, hyphened *int, list *problem.List) {
	if n.to <= *hyphened {
		return
	}
	if end, whole := f.withHyphens(n, known); end > 0 {
		*hyphened = end
		list.Errorf(problem.UnknownName, f.place(n.from, end), problem.Write(whole), "a hyphen in a formula is a minus; the name is written %s", whole)
		return
	}
	if call := functionByName[n.text]; call != nil {
		list.Errorf(problem.UnknownName, f.place(n.from, n.to), problem.Advise("write its arguments: "+call.Usage()), "%s is a function", n.text)
		return
	}
	fix := problem.Advise("define it in a working block, or correct it")
	near, ok := nearestOf(n.text, slices.Concat(known, wordsOfUnits))
	switch {
	case n.text == "in":
		fix = problem.Write("inch")
	case ok:
		fix = problem.Write(near)
	case unitMeant(n.text) != "":
		fix = problem.Write(unitMeant(n.text))
	default:
		// Perhaps the notebook is right and only the row is wrong.
		owner, row, dotted := strings.Cut(n.text, ".")
		var rows []string
		for _, name := range known {
			if o, r, _ := strings.Cut(name, "."); dotted && o == owner {
				rows = append(rows, r)
			}
		}
		if near, ok := problem.Nearest(row, rows); ok {
			fix = problem.Write(owner + "." + near)
		}
	}
	list.Errorf(problem.UnknownName, f.place(n.from, n.to), fix, "nothing here is called %q", clip(n.text))
}

// withHyphens says whether the name and what follows it with hyphens is a
// known name, and where that ends: fine-sable.safe_press is fine_sable's.
func (f *Formula) withHyphens(n *node, known []string) (end int, whole string) {
	rest := f.Text[n.to:]
	size := strings.IndexFunc(rest, func(r rune) bool {
		return !(unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) || r == '_' || r == '-' || r == '.')
	})
	if size < 0 {
		size = len(rest)
	}
	if !strings.Contains(rest[:size], "-") {
		return 0, ""
	}
	end = n.to + size
	whole = Fold(f.Text[n.from:end])
	if slices.Contains(known, whole) {
		return end, whole
	}
	return 0, ""
}

// unitMeant is the name in formulas of the unit for which a word may stand, or
// "".
func unitMeant(word string) string {
	u, ok := quantity.Meant(word)
	if !ok || strings.ContainsAny(u.String(), "/·²³⁻") {
		return ""
	}
	return wordOf(u)
}
