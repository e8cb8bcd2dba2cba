package section

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"mahlstick/recipe/problem"
)

// headingReader reads the headings of a notebook.
type headingReader struct {
	*input
	words map[string]string // the words of sections by their lower-case form
}

// wrongLevel reports a heading that consists of a section's word but is not of
// level 2.
func (r *headingReader) wrongLevel(level int, text Text, open position, titled bool) bool {
	s := r.section(text)
	switch {
	case level == 2, s.Word == "", !s.Rest.Empty():
		return false
	case level == 1 && !titled:
		return false
	case level > 2 && open.section != nil && (open.data == nil || r.inResults):
		return false // a heading of the prose
	}
	start := text.Place.Start - 1
	for start >= 0 && (r.text[start] == '#' || r.text[start] == ' ' || r.text[start] == '\t') {
		start--
	}
	start++
	if start == text.Place.Start || r.text[start] != '#' {
		return false // a heading by a line below it, which has no # to correct
	}
	r.errorf(problem.UnknownSection, r.place(start, text.Place.End), problem.Write("## "+text.String),
		"the heading of a section starts with ##, but %s starts with %s", s.Word, strings.Repeat("#", level))
	return true
}

// section reads a level-2 heading.
func (r *headingReader) section(text Text) *Section {
	none := Text{"", r.place(text.Place.End, text.Place.End)}
	s := &Section{Heading: text, Name: none, Rest: none, Entries: []*Entry{{}}}
	end := strings.IndexAny(text.String, " \t:")
	if end < 0 {
		end = len(text.String)
	}
	s.Word = r.words[strings.ToLower(text.String[:end])]
	tail := text.String[end:]
	trimmed := strings.TrimLeft(tail, " \t")
	rest := &s.Rest
	if strings.HasPrefix(trimmed, ":") {
		trimmed, rest = strings.TrimLeft(trimmed[1:], " \t"), &s.Name
	}
	start := len(text.String) - len(trimmed)
	*rest = Text{trimmed, text.Place.Sub(start, len(text.String))}
	return s
}

// raw is the text of a heading as written.
func (r *headingReader) raw(n *ast.Heading) Text {
	lines := n.Lines()
	if lines.Len() == 0 {
		at := max(n.Pos(), 0)
		return Text{"", r.place(at, r.lineEnd(at))}
	}
	first, last := lines.At(0), lines.At(lines.Len()-1)
	start, end := r.trim(first.Start, last.Stop)
	return Text{string(r.text[start:end]), r.place(start, end)}
}

// lintHeading reports a section's heading that is read as text because the space
// after # is missing.
func (r *headingReader) lintHeading(n *ast.Paragraph) {
	seg := n.Lines().At(0)
	start, end := r.trim(seg.Start, seg.Stop)
	if start == end || r.text[start] != '#' {
		return
	}
	line := string(r.text[start:end])
	text := strings.TrimLeft(line, "#")
	if marks := len(line) - len(text); marks > 6 || text == "" || blank(text[0]) {
		return
	}
	if s := r.section(Text{text, r.place(end-len(text), end)}); s.Word != "" && (s.Rest.Empty() || rowsFollow(n)) {
		r.errorf(problem.UnknownSection, r.place(start, end), problem.Write("## "+text),
			"a heading needs a space after its #; without it this is read as text")
	}
}

// rowsFollow reports whether a table comes next.
func rowsFollow(n ast.Node) bool {
	return n.NextSibling() != nil && n.NextSibling().Kind() == east.KindTable
}
