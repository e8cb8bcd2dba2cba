package section

import (
	"bytes"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// WorkingWord marks a fenced block whose lines are formulas.
const WorkingWord = "working"

// fenceReader reads the working blocks of a notebook into a document.
type fenceReader struct {
	*input
	doc *Document
}

// read reads a fenced block; nil if it is not a working block.
func (r *fenceReader) read(n *ast.FencedCodeBlock) *Fence {
	word, info := "", span{}
	if n.Info != nil {
		seg := n.Info.Segment
		info.start, info.end = r.trim(seg.Start, seg.Stop)
		if i := bytes.IndexAny(r.text[info.start:info.end], " \t"); i >= 0 {
			info.end = info.start + i
		}
		word = string(r.text[info.start:info.end])
	}
	end := r.lintFence(n)
	if !strings.EqualFold(word, WorkingWord) {
		if _, near := problem.Nearest(word, []string{WorkingWord}); near {
			r.unmarked(n, word, r.place(info.start, info.end))
		} else if word == "" {
			open := max(n.Pos(), 0)
			mark := len(r.text[open:]) - len(bytes.TrimLeft(r.text[open:], "`~"))
			r.unmarked(n, "", r.place(open, open+mark))
		}
		return nil
	}
	f := &Fence{Place: r.place(info.start, info.end)}
	for i := range n.Lines().Len() {
		seg := n.Lines().At(i)
		if end >= 0 && seg.Start > end {
			break
		}
		start, stop := r.trim(seg.Start, seg.Stop)
		if start < stop {
			r.workingLine(f, start, stop)
		}
	}
	r.doc.Fences = append(r.doc.Fences, f)
	return f
}

// definition matches the start of a line in a working block.
var definition = regexp.MustCompile(`^[ \t]*(\pL[\pL\pM\d_ -]*?)[ \t]*:?=[^=]`)

// unmarked records a block that is not marked as working, with the names that
// its lines would define.
func (r *fenceReader) unmarked(n *ast.FencedCodeBlock, word string, at source.Place) {
	block := Unmarked{Word: word, Place: at}
	for i := range n.Lines().Len() {
		seg := n.Lines().At(i)
		if name := definition.FindSubmatch(r.text[seg.Start:seg.Stop]); name != nil {
			block.Names = append(block.Names, string(name[1]))
		}
	}
	if word != "" || len(block.Names) > 0 {
		r.doc.Unmarked = append(r.doc.Unmarked, block)
	}
}

// workingLine splits "name = formula # remark".
func (r *fenceReader) workingLine(f *Fence, start, stop int) {
	raw := string(r.text[start:stop])
	body, remark, _ := strings.Cut(raw, "#")
	if strings.TrimSpace(body) == "" {
		return // a line that holds only a remark
	}
	line := Line{Place: r.place(start, stop), Remark: strings.TrimSpace(remark)}
	i := strings.IndexByte(body, '=')
	if colon := strings.IndexByte(body, ':'); i < 0 || colon >= 0 && i == colon+1 {
		a, b := r.trim(start, start+len(body))
		fix := problem.Advise("write name = formula")
		// After a ? the colon is that of a choice, a ? b : c.
		if colon > 0 && !strings.Contains(body[:colon], "?") {
			fix = problem.Write(strings.TrimSpace(strings.TrimSpace(body[:colon]) + " = " + strings.TrimLeft(body[colon+1:], "= \t")))
			r.doc.Misread = append(r.doc.Misread, strings.TrimSpace(body[:colon]))
		}
		r.errorf(problem.WorkingLine, r.place(a, b), fix, "a line in a working block must be name = formula")
		return
	}
	a, b := r.trim(start, start+i)
	line.Name = Text{string(r.text[a:b]), r.place(a, b)}
	a, b = r.trim(start+i+1, start+len(body))
	line.Formula = Text{string(r.text[a:b]), r.place(a, b)}
	switch {
	case line.Name.Empty():
		r.errorf(problem.WorkingLine, r.place(start, start+i+1), problem.Advise("write its name before the ="),
			"the formula has no name")
	case line.Formula.Empty():
		r.doc.Misread = append(r.doc.Misread, line.Name.String)
		r.errorf(problem.WorkingLine, r.place(start, start+i+1), problem.Advise("write the formula after the =, or remove this line"),
			"%s has no formula after the =", line.Name.String)
	default:
		f.Lines = append(f.Lines, line)
	}
}
