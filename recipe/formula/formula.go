// Package formula parses the formulas of recipes, checks their dimensions, puts
// them in the order in which they depend on each other, evaluates them with
// uncertainty, and shows the working as text and as MathML.
//
// The expression library only parses: the text is checked before, its tree is
// converted into nodes of this package, and every node that is not on a short list
// is refused with its column. The library computes nothing. The work is limited by
// counts of characters, nodes, depth and steps, not by time.
package formula

import (
	"regexp"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// Formula is one formula as read.
type Formula struct {
	// Name is the folded name by which other formulas use it, such as "taper"
	// or "reeds.feed"; "" for a formula that nothing can use.
	Name string
	// Remark is what the author wrote after the formula. Evaluate copies it to
	// the working.
	Remark string
	// Text is the formula without spaces around it.
	Text string
	// Place is that of Text; NamePlace that of the name, if it has one.
	Place, NamePlace source.Place
	// Want is the dimension that the result must have; nil for any result.
	Want *quantity.Dim

	root        *node // nil where the formula could not be read
	names       []string
	sameOffsets bool // offsets into Text are offsets into Place
}

// Parse reads a formula: an expression, or a measured value with its
// uncertainty such as "2.40 ± 0.05 mm", which counts as a reading. The place is
// that of text in its file. A formula with problems is returned as well: it keeps
// its name defined, so that formulas that use it are not reported too.
//
// The codes are missing-formula, formula-too-long, formula-too-deep,
// formula-syntax, not-allowed, unknown-function, wrong-arguments,
// number-out-of-range and those of quantity.Parse.
func Parse(name, text string, at source.Place) (*Formula, problem.List) {
	trimmed := strings.TrimSpace(text)
	sameOffsets := at.End-at.Start == len(text)
	if sameOffsets {
		start := strings.Index(text, trimmed)
		at = at.Sub(start, start+len(trimmed))
	}
	f := &Formula{Name: Fold(name), Text: trimmed, Place: at, sameOffsets: sameOffsets}
	if isReading(trimmed) {
		q, list := quantity.Parse(trimmed, at, quantity.Want{Any: true})
		switch {
		case len(list) == 0:
			f.root = &node{form: readingForm, reading: &q, to: len(trimmed), opTo: len(trimmed)}
		case operatorOrCall.MatchString(trimmed):
			list = nil
			sign := plusMinus.FindStringIndex(trimmed)
			list.Errorf(problem.NotAllowed, f.place(sign[0], sign[1]), problem.Advise("put the measured value on a line of its own: name = value ± uncertainty"), "± is allowed only in a measured value")
		}
		return f, list
	}
	p := exprParser{report: &report{f: f}}
	f.root = p.parse()
	f.names = namesIn(f.root)
	return f, p.list
}

var (
	plusMinus      = regexp.MustCompile(`±|\+/-`)
	operatorOrCall = regexp.MustCompile(`[*^]|\pL\(`) // no measured value has one
)

// isReading reports whether a formula is a measured value.
func isReading(text string) bool { return len(text) <= maxFormulaBytes && plusMinus.MatchString(text) }

// place is that of some bytes of the formula.
func (f *Formula) place(from, to int) source.Place {
	if !f.sameOffsets {
		return f.Place
	}
	return within(f.Place, from, to)
}

// within is the place of some bytes of a formula. In a table a bar is written \|,
// and section.Read has replaced each backslash by a space after the bars: the
// place in the file is therefore longer.
func within(whole source.Place, from, to int) source.Place {
	at := whole.Sub(from, to)
	if strings.HasPrefix(at.Text(), `\`) {
		at.End = min(at.End+to-from, whole.End)
	}
	return at
}

// excerpt is a part of the formula as written, shortened for a message.
func (f *Formula) excerpt(n *node) string { return clip(f.Text[n.from:n.to]) }

// clip shortens a text for a message.
func clip(text string) string {
	if runes := []rune(text); len(runes) > 60 {
		return string(runes[:57]) + "..."
	}
	return text
}

// Names lists the folded names that the formula uses, sorted, each once,
// without units, functions and pi.
func (f *Formula) Names() []string { return slices.Clone(f.names) }

func namesIn(root *node) []string {
	if root == nil {
		return nil
	}
	var names []string
	root.walk(func(n *node) {
		if n.form == nameForm {
			names = append(names, n.text)
		}
	})
	slices.Sort(names)
	return slices.Compact(names)
}
