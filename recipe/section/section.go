// Package section takes a notebook's Markdown apart: headings, located cells
// of tables, working blocks, links, and prose for the page. It is the only
// package that knows the Markdown library, and it reports what that library
// drops in silence.
//
// The language is CommonMark 0.31.2 with the tables of GitHub Flavored
// Markdown 0.29, raw HTML left out.
package section

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Text is a text that knows its place.
type Text struct {
	String string
	Place  source.Place
}

// Empty says whether there is no text.
func (t Text) Empty() bool { return t.String == "" }

// Document is a notebook taken apart.
type Document struct {
	File     *source.File
	Title    Text // the first level-1 heading, empty where there is none
	Sections []*Section
	// Prose are the level-2 headings that open no data section, with the
	// tables below each.
	Prose []*Section
	// Fences are the working blocks in reading order.
	Fences []*Fence
	// Misread are the names of lines of working that could not be read: told
	// already, so that nobody need hear that they are unknown.
	Misread []string
	// Shown are blocks that are not marked as working though their lines have
	// its form, by the names that they would define.
	Shown map[string]source.Place
	// Pictures are the pictures of the prose that lie beside the notebook.
	Pictures []Link
	// Cut says that a fence without an end swallowed the rest of the file, or
	// that the file could not be read as a notebook, so that what seems to be
	// missing may only be hidden.
	Cut bool

	text   []byte // the file's bytes as they were parsed
	pieces []piece
}

// Section is what stands under a level-2 heading.
type Section struct {
	Word    string // as in the list of words: "Brush"; "" for prose
	Heading Text   // "Brush: fine sable"
	Name    Text   // what follows the colon, empty where there is none
	// Rest is what follows the word without a colon, as in "Brush fine sable".
	Rest   Text
	Tables []*Table
	// Hidden is the head of a table that is only shown as it is written; told
	// as a warning.
	Hidden source.Place
	Links  []Link // links outside the tables
	// Lost says that a table of it was read as text: what seems to be missing
	// may stand there.
	Lost bool
	// Entries are the parts under its level-3 headings; the first has no
	// heading and holds what stands before them.
	Entries []*Entry
}

// Entry is a part of a section under a level-3 heading.
type Entry struct {
	Heading Text
	Tables  []*Table
	nodes   []ast.Node
}

// Table is a table of a data section.
type Table struct {
	Place  source.Place // from the header row to the last row
	Head   source.Place // the header row and the row of dashes
	Header []Cell
	Rows   []Row
}

// Row is one line of a table, with exactly as many cells as the header.
type Row struct {
	Place source.Place // the line without the blanks around it
	Cells []Cell
	// Broken says that bars split the row in a way that was not meant.
	Broken bool
}

// Cell is one cell. Its place is that of its text without the blanks round
// it, of no width where the cell is empty.
type Cell struct {
	Text
	// Formula is the inside of the backticks where the cell is nothing but
	// one span of code, otherwise empty.
	Formula Text
	Links   []Link
}

// Link is an ordinary Markdown link.
type Link struct {
	Label  string
	Target string // as a path, escapes undone, without the fragment
	// Fragment is what follows "#" in the target.
	Fragment    string
	Place       source.Place // the whole link
	TargetPlace source.Place // the target in brackets; the link where it stands elsewhere
}

// Fence is a working block.
type Fence struct {
	Place source.Place // the opening line
	Lines []Line
}

// Line is one line of a working block: name = formula # remark.
type Line struct {
	Place   source.Place
	Name    Text
	Formula Text
	Remark  string
}

// Kind tells what a piece of the notebook is.
type Kind int8

// The kinds of piece.
const (
	Prose        Kind = iota // prose outside the data sections
	SectionProse             // prose of a data section; the first stands under its heading, the others behind a table or a block
	Working                  // a working block
)

type piece struct {
	kind    Kind
	section *Section
	fence   *Fence
	nodes   []ast.Node
}

// reader carries what is known while a document is taken apart.
type reader struct {
	doc      *Document
	words    map[string]string // in small letters, to the word as it is written
	problems problem.List
	current  *Section // the data section that is open, or nil
	under    *Section // the same, or the prose section that is open
}

// Read takes a file apart. words are the words that open a data section when
// they stand first in a level-2 heading; capitals do not count. A file that
// is too large, nested too deeply or no text at all gives an empty document
// and an error.
func Read(file *source.File, words []string) (*Document, problem.List) {
	r := &reader{doc: &Document{File: file}, words: map[string]string{}}
	for _, word := range words {
		r.words[strings.ToLower(word)] = word
	}
	text, ok := r.admit()
	if !ok {
		r.doc.Cut = true
		return r.doc, r.problems
	}
	r.doc.text = text
	root, pc := parse(text)
	if !r.admitTree(root, pc) {
		r.doc.Cut = true
		return r.doc, r.problems
	}
	for node := root.FirstChild(); node != nil; node = node.NextSibling() {
		r.block(node)
	}
	return r.doc, r.problems
}

// place turns offsets of the parsed text into a place inside the file.
func (r *reader) place(start, end int) source.Place {
	n := len(r.doc.File.Data)
	start = min(max(start, 0), n)
	return r.doc.File.Place(start, min(max(end, start), n))
}

func (r *reader) block(node ast.Node) {
	switch n := node.(type) {
	case *ast.Heading:
		r.heading(n)
		return
	case *ast.FencedCodeBlock:
		if fence := r.fence(n); fence != nil {
			r.doc.pieces = append(r.doc.pieces, piece{kind: Working, fence: fence})
			return
		}
		r.lintHidden(n.Lines(), problem.Advise("take away the fence around it"))
	case *east.Table:
		table := r.table(n)
		if r.under != nil {
			r.under.Tables = append(r.under.Tables, table)
		}
		if r.current != nil {
			entry := r.current.Entries[len(r.current.Entries)-1]
			entry.Tables = append(entry.Tables, table)
			entry.nodes = append(entry.nodes, node)
			if len(r.current.Entries) == 1 {
				// What follows the table is shown behind its rows.
				r.doc.pieces = append(r.doc.pieces, piece{kind: SectionProse, section: r.current})
			}
			return
		}
	case *ast.Paragraph:
		r.lintParagraph(n)
		r.text(n)
	default:
		r.inside(n)
	}
	r.keep(node)
}

// keep keeps a node for the page.
func (r *reader) keep(node ast.Node) {
	kind := Prose
	if r.current != nil {
		kind = SectionProse
		entry := r.current.Entries[len(r.current.Entries)-1]
		entry.nodes = append(entry.nodes, node)
		if len(r.current.Entries) > 1 {
			return // shown with its entry
		}
	}
	r.append(kind, node)
}

func (r *reader) append(kind Kind, node ast.Node) {
	pieces := r.doc.pieces
	if n := len(pieces); n > 0 && pieces[n-1].kind == kind && pieces[n-1].section == r.current {
		pieces[n-1].nodes = append(pieces[n-1].nodes, node)
		return
	}
	r.doc.pieces = append(pieces, piece{kind: kind, section: r.current, nodes: []ast.Node{node}})
}

// inside looks into lists and quotes: working blocks count anywhere, tables
// and links there are prose.
func (r *reader) inside(node ast.Node) {
	_ = ast.Walk(node, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.FencedCodeBlock:
			if fence := r.fence(n); fence != nil {
				defer func() {
					r.doc.pieces = append(r.doc.pieces, piece{kind: Working, fence: fence})
				}()
			} else {
				r.lintHidden(n.Lines(), problem.Advise("take away the fence around it"))
			}
		case *ast.CodeBlock:
			r.lintHidden(n.Lines(), problem.Advise("take away the blanks before its lines"))
		case *east.Table:
			if r.current != nil {
				r.current.Hidden = r.place(n.Pos(), r.lineEnd(n.Pos()))
				r.problems.Warnf(problem.HiddenTable, r.current.Hidden, problem.Advise("take it out of the quote or list"),
					"a table inside a quote or a list is shown as prose and sets nothing")
			}
			return ast.WalkSkipChildren, nil
		case *ast.HTMLBlock:
			if n.Lines().Len() > 0 {
				r.lintComment(n)
				r.lintHTML(n.Lines().At(0).Start)
				if n.HTMLBlockType != ast.HTMLBlockType2 { // a comment hides on purpose
					r.lintHidden(n.Lines(), problem.Advise("put an empty line between the HTML and the table"))
				}
			}
		case *ast.Paragraph, *ast.TextBlock:
			r.text(n)
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
}

// text notes the links and pictures of a paragraph.
func (r *reader) text(n ast.Node) {
	lines := n.Lines()
	for i := range lines.Len() {
		seg := lines.At(i)
		if bytes.ContainsAny(r.doc.text[seg.Start:seg.Stop], "[<") {
			links := r.links(n)
			if r.under != nil {
				r.under.Links = append(r.under.Links, links...)
			}
			return
		}
	}
}

func (r *reader) heading(n *ast.Heading) {
	text := r.headingText(n)
	level := n.Level
	if r.wrongLevel(level, text) {
		level = 2
	}
	switch {
	case level == 1:
		r.current, r.under = nil, nil
		if r.doc.Title.Empty() {
			r.doc.Title = Text{plain(n, r.doc.text), text.Place}
			return
		}
	case level == 2:
		r.current, r.under = nil, nil
		s := r.section(text)
		r.under = s
		if s.Word == "" {
			r.doc.Prose = append(r.doc.Prose, s)
			break
		}
		r.doc.Sections = append(r.doc.Sections, s)
		r.current = s
		r.doc.pieces = append(r.doc.pieces, piece{kind: SectionProse, section: s})
		return
	case level == 3 && r.current != nil:
		r.current.Entries = append(r.current.Entries, &Entry{Heading: Text{plain(n, r.doc.text), text.Place}})
		return
	}
	r.keep(n)
}

// wrongLevel reports a heading that is the word of a section, where it can
// hardly be anything else, and of another level than 2.
func (r *reader) wrongLevel(level int, text Text) bool {
	s := r.section(text)
	switch {
	case level == 2, s.Word == "", !s.Rest.Empty():
		return false
	case level == 1 && r.doc.Title.Empty():
		return false
	case level > 2 && r.under != nil && (r.current == nil || r.current.Word == "Results"):
		return false // a heading of the prose
	}
	start := text.Place.Start - 1
	for start >= 0 && (r.doc.text[start] == '#' || r.doc.text[start] == ' ' || r.doc.text[start] == '\t') {
		start--
	}
	start++
	if start == text.Place.Start || r.doc.text[start] != '#' {
		return false // underlined
	}
	r.problems.Errorf(problem.UnknownSection, r.place(start, text.Place.End), problem.Write("## "+text.String),
		"the heading of a section begins with ##, and %s with %s", s.Word, strings.Repeat("#", level))
	return true
}

// section reads a level-2 heading.
func (r *reader) section(text Text) *Section {
	behind := Text{"", r.place(text.Place.End, text.Place.End)}
	s := &Section{Heading: text, Name: behind, Rest: behind, Entries: []*Entry{{}}}
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

// headingText is the raw text of a heading.
func (r *reader) headingText(n *ast.Heading) Text {
	lines := n.Lines()
	if lines.Len() == 0 {
		at := max(n.Pos(), 0)
		return Text{"", r.place(at, r.lineEnd(at))}
	}
	first, last := lines.At(0), lines.At(lines.Len()-1)
	start, end := r.trim(first.Start, last.Stop)
	return Text{string(r.doc.text[start:end]), r.place(start, end)}
}

// trim moves both ends inwards past blanks and line ends.
func (r *reader) trim(start, end int) (int, int) {
	for start < end && blank(r.doc.text[start]) {
		start++
	}
	for end > start && blank(r.doc.text[end-1]) {
		end--
	}
	return start, end
}

func blank(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }

// lineEnd is the end of the line at an offset, without the line end.
func (r *reader) lineEnd(at int) int {
	at = min(max(at, 0), len(r.doc.text))
	end := len(r.doc.text)
	if i := bytes.IndexByte(r.doc.text[at:], '\n'); i >= 0 {
		end = at + i
	}
	for end > at && blank(r.doc.text[end-1]) {
		end--
	}
	return end
}
