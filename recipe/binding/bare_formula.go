package binding

import (
	"regexp"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

var (
	// operation is a sign between two operands, or a call. A minus between
	// numbers may also be a range.
	operation = regexp.MustCompile(`[\pL\d%)] ?[*×+] ?[\pL\d(]|[\d)]·[\pL(]|[\d)] / [\pL\d(]|\pL\(`)
	// twoValues is a range, or a difference.
	twoValues = regexp.MustCompile(`^[\d.]+ ?(?:\pL[\pL/²³]*|%|°)? ?(?:[-–−]|to) ?[\d.]+ ?(?:\pL[\pL/²³]*|%|°)?$`)
	// numberAndName is a number with a unit or a name behind it.
	numberAndName = regexp.MustCompile(`(\d) ?(\pL)`)
	word          = regexp.MustCompile(`\pL[\pL\pM\d_.]*`)
	// timesSign is a sign of multiplication that formulas write as *.
	timesSign = regexp.MustCompile(` ?[×·] ?| x `)
)

// bareText is a formula without the signs that may surround it: one backtick
// may be missing, some editors turn them into quotes, and some people begin
// with an equals sign.
func bareText(text string) string {
	return strings.TrimSpace(strings.TrimPrefix(strings.Trim(text, "`'‘’´\"“”"), "="))
}

// bareFormula finds a formula without backticks in a text that is not a
// quantity: it computes something, or uses a name that the notebook knows. The
// fix changes the text only where the formula can be read then.
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

// usesName says whether a text uses a name of a working block, or one of a row
// such as brush.safe_press.
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
