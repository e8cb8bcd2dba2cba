package binding

import (
	"regexp"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

var (
	// operation matches an operator between two operands, or a function call.
	// A minus is left out: between numbers it may also mean a range.
	operation = regexp.MustCompile(`[\pL\d%)] ?[*×+] ?[\pL\d(]|[\d)]·[\pL(]|[\d)] / [\pL\d(]|\pL\(`)
	// twoValues matches a range or a difference.
	twoValues = regexp.MustCompile(`^[\d.]+ ?(?:\pL[\pL/²³]*|%|°)? ?(?:[-–−]|to) ?[\d.]+ ?(?:\pL[\pL/²³]*|%|°)?$`)
	// numberAndName matches a number followed by a unit or a name.
	numberAndName = regexp.MustCompile(`(\d) ?(\pL)`)
	word          = regexp.MustCompile(`\pL[\pL\pM\d_.]*`)
	// timesSign matches the multiplication signs for which formulas use *.
	timesSign = regexp.MustCompile(` ?[×·] ?| x `)
)

// bareText is a formula without the characters that may surround it: one
// backtick may be missing, some editors turn backticks into quotes, and some
// people start with an equals sign.
func bareText(text string) string {
	return strings.TrimSpace(strings.TrimPrefix(strings.Trim(text, "`'‘’´\"“”"), "="))
}

// bareFormula reports whether a text that is not a quantity is a formula
// without its backticks: it computes something, or uses a name that the
// notebook knows. The fix rewrites the text only if the result can be parsed.
func (r *reader) bareFormula(text string) (fix problem.Fix, found bool) {
	bare := bareText(text)
	if !operation.MatchString(strings.ReplaceAll(bare, "+/-", "±")) && !r.usesName(bare) {
		return problem.Fix{}, false
	}
	for _, spelt := range []string{bare, numberAndName.ReplaceAllString(timesSign.ReplaceAllString(bare, " * "), "$1*$2")} {
		if f, list := formula.Parse("", spelt, source.Place{}); len(list) == 0 && len(bare) > 0 && (len(f.Names()) > 0 || operation.MatchString(spelt)) {
			return problem.Write("`" + spelt + "`"), true
		}
	}
	return problem.Advise("write it between backticks, with * between a number and its unit, as in `2 * 1.5*mm`"), true
}

// usesName reports whether a text uses a name from a working block, or the name
// of a row such as brush.safe_press.
func (r *reader) usesName(text string) bool {
	defined := map[string]bool{}
	for _, fence := range r.nb.Doc.Fences {
		for _, line := range fence.Lines {
			defined[formula.Fold(line.Name.String)] = true
		}
	}
	for _, name := range word.FindAllString(text, -1) {
		if owner, row, dotted := strings.Cut(name, "."); defined[formula.Fold(name)] || dotted && owner != "" && row != "" {
			return true
		}
	}
	return false
}
