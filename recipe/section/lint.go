package section

import (
	"bytes"
	"fmt"
	"regexp"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// lintParagraph reports tables that the library reads as text.
func (r *reader) lintParagraph(n *ast.Paragraph) {
	severity := problem.Warning
	if r.open.data != nil && !r.inResults {
		severity = problem.Error
	}
	report := func(at source.Place, fix problem.Fix, message string) {
		r.problems.Add(problem.Problem{Severity: severity, Code: problem.RuleRow, Place: at, Fix: fix, Message: message})
		if r.open.data != nil {
			r.open.data.LostTable = true
		}
	}
	r.headings.lintHeading(n)
	lines := n.Lines()
	for i := range lines.Len() {
		seg := lines.At(i)
		start, end := r.trim(seg.Start, seg.Stop)
		line := r.text[start:end]
		if !bytes.HasPrefix(line, []byte("|")) && !(i+1 < lines.Len() && bytes.IndexByte(line, '|') >= 0) {
			continue
		}
		columns := len(r.split(start, end))
		if i+1 < lines.Len() {
			next := lines.At(i + 1)
			a, b := r.trim(next.Start, next.Stop)
			if looksLikeRule(r.text[a:b]) {
				report(r.place(a, b), problem.Write(rule(columns)),
					fmt.Sprintf("this row of dashes does not match the header of %s, so the table is read as text", format.Count(columns, "column")))
				return
			}
		}
		if bytes.HasPrefix(line, []byte("|")) && columns > 0 {
			report(r.place(start, end), problem.AddBelow(rule(columns)),
				"a table needs a row of dashes below its header; without it the table is read as text")
			return
		}
	}
}

// lintHidden records tables of a data section that are only shown as written.
func (r *reader) lintHidden(lines *text.Segments, fix problem.Fix) {
	if r.open.data == nil {
		return
	}
	for i := 0; i+1 < lines.Len(); i++ {
		head, rule := lines.At(i), lines.At(i+1)
		a, b := r.trim(rule.Start, rule.Stop)
		start, end := r.trim(head.Start, head.Stop)
		if bytes.IndexByte(r.text[start:end], '|') >= 0 && looksLikeRule(r.text[a:b]) {
			r.open.data.Hidden = append(r.open.data.Hidden, HiddenTable{r.place(start, end), "this table has no effect: it is shown as written", fix})
			return
		}
	}
}

// looksLikeRule reports whether a line was probably meant as a table's row of
// dashes: it has dashes of any kind and bars, and no text.
func looksLikeRule(line []byte) bool {
	dashes, bars := 0, 0
	for _, c := range string(line) {
		switch c {
		case '-', '–', '—', '−', '=', '_':
			dashes++
		case '|', '+', '│':
			bars++
		case ':', ' ', '\t':
		default:
			return false
		}
	}
	return dashes > 0 && bars > 0
}

// looksLikeContent matches lines that are unlikely in a comment: a section's
// heading, a row of a table, a fence.
var looksLikeContent = regexp.MustCompile("(?m)^(?:## |\\||```)")

// lintComment reports a comment without an end, which hides the rest of the file.
func (r *reader) lintComment(n *ast.HTMLBlock) {
	at := n.Lines().At(0).Start
	rest := r.text[at:]
	if n.HTMLBlockType != ast.HTMLBlockType2 || bytes.Contains(rest, []byte("-->")) || !looksLikeContent.Match(rest) {
		return // it has an end, or hides only a remark
	}
	at += bytes.Index(r.text[at:], []byte("<!--"))
	r.doc.Incomplete = true
	r.errorf(problem.UnclosedComment, r.place(at, at+len("<!--")), problem.Advise("write --> where the comment ends, or remove the <!--"),
		"the comment that starts here has no end and hides the rest of the file")
}
