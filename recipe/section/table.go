package section

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"mahlstick/recipe/problem"
)

// tableReader reads the tables of a notebook.
type tableReader struct {
	*input
	links *linkReader
}

// read reads the cells from the source lines: the library drops extra cells, and
// its nodes do not keep the spelling.
func (r *tableReader) read(n *east.Table) *Table {
	t := &Table{}
	start, end, hasBars := -1, -1, false
	for child := n.FirstChild(); child != nil; child = child.NextSibling() {
		at := max(child.Pos(), 0)
		stop := r.lineEnd(at)
		at, stop = r.trim(at, stop)
		spans := r.split(at, stop)
		if start < 0 {
			start = at
			for i, s := range spans {
				t.Header = append(t.Header, r.cell(s, nthChild(child, i)))
			}
			r.lintBars(spans, len(spans))
			t.Head = r.place(at, r.lintRule(stop, len(spans)))
			hasBars = bytes.IndexByte(r.text[at:stop], '|') >= 0
			end = stop
			continue
		}
		end = stop
		row := Row{Place: r.place(at, stop)}
		if hasBars && bytes.IndexByte(r.text[at:stop], '|') < 0 {
			r.errorf(problem.GluedText, row.Place, problem.BlankLineAbove(),
				"text directly below a table is read as another row of it")
			break
		}
		row.Broken = r.lintBars(spans, len(t.Header))
		node := child.FirstChild()
		for i := range t.Header {
			if i < len(spans) {
				row.Cells = append(row.Cells, r.cell(spans[i], node))
			} else {
				row.Cells = append(row.Cells, Cell{Text: Text{"", r.place(stop, stop)}})
			}
			if node != nil {
				node = node.NextSibling()
			}
		}
		t.Rows = append(t.Rows, row)
	}
	t.Place = r.place(start, end)
	return t
}

func nthChild(n ast.Node, i int) ast.Node {
	child := n.FirstChild()
	for ; i > 0 && child != nil; i-- {
		child = child.NextSibling()
	}
	return child
}

func (r *tableReader) cell(s span, node ast.Node) Cell {
	raw := string(r.text[s.start:s.end])
	c := Cell{Text: Text{unescapeBars(raw), r.place(s.start, s.end)}}
	if a, b, ok := codeSpan(raw); ok {
		c.Formula = Text{unescapeBars(raw[a:b]), r.place(s.start+a, s.start+b)}
	}
	if node != nil && strings.ContainsAny(raw, "[<") {
		c.Links = r.links.below(node)
	}
	return c
}

// unescapeBars removes the backslash before each bar. Spaces after the bars replace
// the backslashes, so that "||" stays together and the text after it stays in its
// column.
func unescapeBars(s string) string {
	if !strings.Contains(s, `\|`) {
		return s
	}
	var b strings.Builder
	for s != "" {
		n := 0
		for strings.HasPrefix(s[2*n:], `\|`) {
			n++
		}
		if n > 0 {
			b.WriteString(strings.Repeat("|", n) + strings.Repeat(" ", n))
			s = s[2*n:]
			continue
		}
		b.WriteByte(s[0])
		s = s[1:]
	}
	return strings.TrimRight(b.String(), " ")
}

// codeSpan finds the text between the backticks, if s is one span of code and
// nothing else (CommonMark 0.31.2, 6.1).
func codeSpan(s string) (start, end int, ok bool) {
	n := 0
	for n < len(s) && s[n] == '`' {
		n++
	}
	if n == 0 || len(s) < 2*n+1 {
		return 0, 0, false
	}
	fence := s[:n]
	i := n
	for i < len(s) {
		j := strings.IndexByte(s[i:], '`')
		if j < 0 {
			return 0, 0, false
		}
		i += j
		k := i
		for k < len(s) && s[k] == '`' {
			k++
		}
		if s[i:k] == fence {
			if k != len(s) {
				return 0, 0, false
			}
			start, end = n, i
			for start < end && s[start] == ' ' {
				start++
			}
			for end > start && s[end-1] == ' ' {
				end--
			}
			return start, end, end > start
		}
		i = k
	}
	return 0, 0, false
}
