package section

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
)

// lintFence reports a fence without an end. It returns the offset from which the
// lines count as outside the block, or -1.
func (r *fenceReader) lintFence(n *ast.FencedCodeBlock) int {
	open := max(n.Pos(), 0)
	after := r.lineEnd(open)
	for after < len(r.text) && blank(r.text[after]) && r.text[after] != '\n' {
		after++
	}
	after = min(after+1, len(r.text))
	if k := n.Lines().Len(); k > 0 {
		after = n.Lines().At(k - 1).Stop
	}
	if after < len(r.text) {
		return -1 // a closing fence follows, or the list ends here
	}
	return r.lintOpenFence(n, open)
}

// lintOpenFence reports a block that reaches the end of the file. It was probably
// meant to end before the first empty line, heading or table. If formulas follow
// there, only the author knows where it ends.
func (r *fenceReader) lintOpenFence(n *ast.FencedCodeBlock, open int) int {
	opening := r.place(open, r.lineEnd(open))
	mark := strings.TrimSuffix(opening.Text(), strings.TrimLeft(opening.Text(), "`~"))
	last, hidden, ended, fix := span{opening.Start, opening.End}, 0, false, problem.AddBelow(mark)
	for i := range n.Lines().Len() {
		start, end := r.trim(n.Lines().At(i).Start, n.Lines().At(i).Stop)
		line := r.text[start:end]
		switch {
		case len(line) == 0:
			ended = ended || last.start != open
		case ended || line[0] == '|' || bytes.HasPrefix(line, []byte("##")):
			ended = true
			hidden++
			if definition.Match(line) {
				fix = problem.Advise("write " + mark + " where the block ends")
			}
		default:
			last = span{start, end}
		}
	}
	p := problem.Problem{Severity: problem.Hint, Code: problem.UnclosedFence, Place: r.place(last.start, last.end), Fix: fix,
		Message: "the block that ends here has no closing fence"}
	if hidden > 0 {
		r.doc.Incomplete = true
		p.Severity = problem.Error
		p.Message = fmt.Sprintf("the block has no closing fence: %s below would be read as part of it", format.Count(hidden, "line"))
	}
	if last.start != open {
		p.Related = []problem.Related{{Place: opening, Note: "it starts here"}}
	}
	r.problems.Add(p)
	return last.end
}
