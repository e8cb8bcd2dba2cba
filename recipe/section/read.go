package section

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// position is the section being read.
type position struct {
	data    *Section // the data section, or nil
	section *Section // the same or, outside data sections, the prose section
}

// reader reads a notebook into a document.
type reader struct {
	*input
	doc      *Document
	headings headingReader
	tables   tableReader
	fences   fenceReader
	links    *linkReader
	open     position
}

// Read parses a notebook. words are the words that start a data section when
// they come first in a level-2 heading; case is ignored. For a file that is too
// large, nested too deeply or not text, the document is empty and there is an
// error.
func Read(file *source.File, words []string) (*Document, problem.List) {
	in := &input{file: file}
	doc := &Document{File: file}
	if !admit(in) {
		doc.Incomplete = true
		return doc, in.problems
	}
	doc.text = in.text
	root, pc := parse(in.text)
	if !admitTree(in, root, pc) {
		doc.Incomplete = true
		return doc, in.problems
	}
	links := &linkReader{in, doc}
	r := &reader{input: in, doc: doc, headings: headingReader{in, map[string]string{}}, tables: tableReader{in, links}, fences: fenceReader{in, doc}, links: links}
	for _, word := range words {
		r.headings.words[strings.ToLower(word)] = word
	}
	for node := root.FirstChild(); node != nil; node = node.NextSibling() {
		r.block(node)
	}
	return doc, in.problems
}

func (r *reader) block(node ast.Node) {
	switch n := node.(type) {
	case *ast.Heading:
		r.heading(n)
		return
	case *ast.FencedCodeBlock:
		if fence := r.fences.read(n); fence != nil {
			r.doc.pieces = append(r.doc.pieces, piece{kind: Working, fence: fence})
			return
		}
		r.lintHidden(n.Lines(), problem.Advise("remove the fence around it"))
	case *east.Table:
		table := r.tables.read(n)
		if r.open.section != nil {
			r.open.section.Tables = append(r.open.section.Tables, table)
		}
		if r.open.data != nil {
			entry := r.open.data.Entries[len(r.open.data.Entries)-1]
			entry.Tables = append(entry.Tables, table)
			entry.nodes = append(entry.nodes, node)
			if len(r.open.data.Entries) == 1 {
				// What follows the table is shown after its rows.
				r.doc.pieces = append(r.doc.pieces, piece{kind: SectionProse, section: r.open.data})
			}
			return
		}
	case *ast.Paragraph:
		r.lintParagraph(n)
		r.linksOf(n)
	default:
		r.inside(n)
	}
	r.keep(node)
}

// keep keeps a node for the page.
func (r *reader) keep(node ast.Node) {
	kind := Prose
	if r.open.data != nil {
		kind = SectionProse
		entry := r.open.data.Entries[len(r.open.data.Entries)-1]
		entry.nodes = append(entry.nodes, node)
		if len(r.open.data.Entries) > 1 {
			return // shown with its entry
		}
	}
	r.append(kind, node)
}

func (r *reader) append(kind Kind, node ast.Node) {
	pieces := r.doc.pieces
	if n := len(pieces); n > 0 && pieces[n-1].kind == kind && pieces[n-1].section == r.open.data {
		pieces[n-1].nodes = append(pieces[n-1].nodes, node)
		return
	}
	r.doc.pieces = append(pieces, piece{kind: kind, section: r.open.data, nodes: []ast.Node{node}})
}

// inside reads what is inside lists and quotes: working blocks count there too,
// tables are only shown.
func (r *reader) inside(node ast.Node) {
	_ = ast.Walk(node, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.FencedCodeBlock:
			if fence := r.fences.read(n); fence != nil {
				defer func() {
					r.doc.pieces = append(r.doc.pieces, piece{kind: Working, fence: fence})
				}()
			} else {
				r.lintHidden(n.Lines(), problem.Advise("remove the fence around it"))
			}
		case *ast.CodeBlock:
			r.lintHidden(n.Lines(), problem.Advise("remove the spaces before its lines"))
		case *east.Table:
			if r.open.data != nil {
				r.open.data.Hidden = append(r.open.data.Hidden, HiddenTable{r.place(n.Pos(), r.lineEnd(n.Pos())),
					"a table inside a quote or a list has no effect", problem.Advise("move it out of the quote or list")})
			}
			return ast.WalkSkipChildren, nil
		case *ast.HTMLBlock:
			if n.Lines().Len() > 0 {
				r.lintComment(n)
				r.lintHTML(n.Lines().At(0).Start)
				if n.HTMLBlockType != ast.HTMLBlockType2 { // a comment hides on purpose
					r.lintHidden(n.Lines(), problem.Advise("add an empty line between the HTML and the table"))
				}
			}
		case *ast.Paragraph, *ast.TextBlock:
			r.linksOf(n)
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
}

// linksOf records the links and pictures of a paragraph.
func (r *reader) linksOf(n ast.Node) {
	lines := n.Lines()
	for i := range lines.Len() {
		seg := lines.At(i)
		if bytes.ContainsAny(r.text[seg.Start:seg.Stop], "[<") {
			links := r.links.below(n)
			if r.open.section != nil {
				r.open.section.Links = append(r.open.section.Links, links...)
			}
			return
		}
	}
}

func (r *reader) heading(n *ast.Heading) {
	text := r.headings.raw(n)
	level := n.Level
	if r.headings.wrongLevel(level, text, r.open, !r.doc.Title.Empty()) {
		level = 2
	}
	switch {
	case level == 1:
		r.open, r.inResults = position{}, false
		if r.doc.Title.Empty() {
			r.doc.Title = Text{plain(n, r.text), text.Place}
			return
		}
	case level == 2:
		s := r.headings.section(text)
		r.open, r.inResults = position{}, s.Word == resultsWord
		r.open.section = s
		if s.Word == "" {
			r.doc.Prose = append(r.doc.Prose, s)
			break
		}
		r.doc.Sections = append(r.doc.Sections, s)
		r.open.data = s
		r.doc.pieces = append(r.doc.pieces, piece{kind: SectionProse, section: s})
		return
	case level == 3 && r.open.data != nil:
		r.open.data.Entries = append(r.open.data.Entries, &Entry{Heading: Text{plain(n, r.text), text.Place}})
		return
	}
	r.keep(n)
}
