package section

import (
	"bytes"
	"regexp"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
)

// wholeQuantity matches a number with its unit.
var wholeQuantity = regexp.MustCompile(`^[-−+]?[0-9][0-9.]*(?: ?(?:±|\+/-) ?[0-9.]+)? ?(?:\pL[\pL/²³0-9]*|%|°)$`)

// wholeSpan matches a formula between backticks, or a link; wholeColour a colour.
var (
	wholeSpan   = regexp.MustCompile("^(?:`[^`]+`|\\[[^\\[\\]]*\\]\\([^()]*\\))$")
	wholeColour = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)
)

// lintBars reports extra cells, which would be lost, and bars that split a span of
// code. It returns whether there were any.
func (r *tableReader) lintBars(spans []span, want int) bool {
	before := len(r.problems)
	open := -1
	for i, s := range spans {
		if bytes.Count(r.text[s.start:s.end], []byte("`"))%2 == 0 {
			continue
		}
		if open < 0 {
			open = i
			continue
		}
		r.lintSplitCode(spans[open].end, s.start)
		open = -1
		want = len(spans) // the extra cell has the same cause: report it once
	}
	if len(spans) <= want || want == 0 {
		return len(r.problems) > before
	}
	// An empty last cell has its place after a space: put it directly after the bar.
	end := spans[len(spans)-1].end
	for spans[len(spans)-1].start == end && r.text[end-1] != '|' {
		end--
		spans[len(spans)-1] = span{end, end}
	}
	// A bar between an ink and its colour splits the cell, whichever column it is in.
	for k := 1; k < len(spans) && len(spans) == want+1; k++ {
		if a, b := spans[k-1], spans[k]; a.start < a.end && wholeColour.Match(r.text[b.start:b.end]) {
			r.errorf(problem.SurplusCell, r.place(a.start, b.end), problem.Write(string(r.text[a.start:a.end])+" "+string(r.text[b.start:b.end])),
				surplusCells, len(spans), want)
			return true
		}
	}
	var words []string
	for _, s := range spans[want-1:] {
		if s.start < s.end {
			words = append(words, string(r.text[s.start:s.end]))
		}
	}
	r.errorf(problem.SurplusCell, r.place(spans[want-1].start, end), surplusFix(words),
		surplusCells, len(spans), want)
	return true
}

const surplusCells = "the row has %d cells, but the header has %d; the extra cells would be lost"

// surplusFix is the fix for the last cell and the extra ones after it.
func surplusFix(words []string) problem.Fix {
	whole := strings.Join(words, " ")
	switch {
	case len(words) < 2:
		return problem.Write(whole) // the other cells are empty
	case wholeQuantity.MatchString(words[0]) || wholeSpan.MatchString(words[0]):
		return problem.Advise("keep only " + words[0] + " here, or add a column")
	}
	return problem.DidYouMean(whole)
}

// lintSplitCode reports each run of bars between two halves of a span of code.
func (r *tableReader) lintSplitCode(from, to int) {
	for i := from; i < to; i++ {
		if r.text[i] != '|' {
			continue
		}
		end := i
		for end < to && r.text[end] == '|' {
			end++
		}
		r.errorf(problem.UnescapedBar, r.place(i, end), problem.Write(strings.Repeat(`\|`, end-i)),
			"a | splits the cell, even between backticks")
		i = end
	}
}

// lintRule reports a row of dashes that is longer than its header: the library
// would add the missing columns. It returns the row's end.
func (r *tableReader) lintRule(headerEnd, columns int) int {
	i := bytes.IndexByte(r.text[headerEnd:], '\n')
	if i < 0 {
		return headerEnd
	}
	start := headerEnd + i + 1
	end := r.lineEnd(start)
	start, end = r.trim(start, end)
	if n := len(r.split(start, end)); n > columns {
		r.errorf(problem.RuleRow, r.place(start, end), problem.Write(rule(columns)),
			"the header has %s, but this row of dashes has %d", format.Count(columns, "column"), n)
	}
	return end
}

func rule(columns int) string { return strings.Repeat("|---", columns) + "|" }
