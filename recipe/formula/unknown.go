package formula

import (
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// unknownName reports a name that is not defined. hyphened is the end of the
// last name that was written with hyphens; the rest of it is not reported
// again.
func unknownName(f *Formula, n *node, known []string, hyphened *int, list *problem.List) {
	if n.to <= *hyphened {
		return
	}
	if end, whole := f.withHyphens(n, known); end > 0 {
		*hyphened = end
		list.Errorf(problem.UnknownName, f.place(n.from, end), problem.Write(whole), "a hyphen means minus in a formula; names have underscores")
		return
	}
	if call := functionByName[n.text]; call != nil {
		list.Errorf(problem.UnknownName, f.place(n.from, n.to), problem.Advise("write "+call.Usage()), "%s is a function and needs its arguments", n.text)
		return
	}
	list.Errorf(problem.UnknownName, f.place(n.from, n.to), nameFix(n.text, known), "%q is not defined", clip(n.text))
}

// nameFix is the fix for a name that is not defined.
func nameFix(name string, known []string) problem.Fix {
	if name == "in" {
		return problem.Write("inch")
	}
	if fix := correction(name, slices.Concat(known, unitNames)); !fix.None() {
		return fix
	}
	if unit := unitMeant(name); unit != "" {
		return problem.Write(unit)
	}
	// Perhaps the owner is right and only the row is misspelt.
	owner, row, _ := strings.Cut(name, ".")
	var rows []string
	for _, other := range known {
		if o, r, dotted := strings.Cut(other, "."); dotted && o == owner {
			rows = append(rows, r)
		}
	}
	if near, ok := problem.Nearest(row, rows); ok {
		return problem.DidYouMean(owner + "." + near)
	}
	if fix := otherAlong(name); !fix.None() {
		return fix
	}
	return problem.Advise("define it in a working block, or correct the name")
}

// otherAlong is the fix for a name that only the width or only the feed of a layer may
// use.
func otherAlong(name string) problem.Fix {
	list := func(help []VariableHelp) string {
		var names []string
		for _, v := range help {
			names = append(names, v.Name)
		}
		return format.List(names)
	}
	_, ofWidth := widthKind.variables[name]
	_, ofFeed := feedKind.variables[name]
	switch {
	case ofWidth && !ofFeed:
		return problem.Advise("only the width of a layer may use it; a feed may use " + list(FeedVariables()) + ", and names of working blocks")
	case ofFeed && !ofWidth:
		return problem.Advise("only the feed of a layer may use it; a width may use " + list(Variables()) + ", and names of working blocks")
	}
	return problem.Fix{}
}

// withHyphens reports whether the name with its hyphens is a known name, and
// where that ends: fine-sable.safe_press is fine_sable.safe_press.
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

// unitMeant is the name, in formulas, of the unit that a word means, or "".
func unitMeant(word string) string {
	u, ok := quantity.GuessUnit(word)
	if !ok || strings.ContainsAny(u.String(), "/·²³⁻") {
		return ""
	}
	return unitName(u)
}
