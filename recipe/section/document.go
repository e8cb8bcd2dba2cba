// Package section parses a notebook's Markdown: headings, located cells of
// tables, working blocks, links, and prose for the page. It is the only package
// that uses the Markdown library, and it reports what that library drops
// silently.
//
// The language is CommonMark 0.31.2 with the tables of GitHub Flavored
// Markdown 0.29, raw HTML left out.
package section

import (
	"github.com/yuin/goldmark/ast"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Text is a text with its place.
type Text struct {
	String string
	Place  source.Place
}

// Empty reports whether there is no text.
func (t Text) Empty() bool { return t.String == "" }

// Document is a parsed notebook.
type Document struct {
	File     *source.File
	Title    Text // the first level-1 heading, empty if there is none
	Sections []*Section
	// Prose are the level-2 headings that start no data section, with the
	// tables below each.
	Prose []*Section
	// Fences are the working blocks in reading order.
	Fences []*Fence
	// Misread are the names of lines of working that could not be read. They
	// have been reported, so they are not reported again as undefined.
	Misread []string
	// Unmarked are fenced blocks that may have been meant as working blocks.
	// Whether one is a problem depends on whether a formula needs its names.
	Unmarked []Unmarked
	// Pictures are the pictures of the prose that are in the studio.
	Pictures []Link
	// Incomplete reports that a block or comment without an end hides the rest of
	// the file, or that the file could not be read as a notebook: sections may
	// seem to be missing.
	Incomplete bool

	text   []byte // the file's bytes as they were parsed
	pieces []piece
}

// Section is a level-2 heading with what is below it.
type Section struct {
	Word    string // as the schema spells it: "Brush"; "" for prose
	Heading Text   // "Brush: fine sable"
	Name    Text   // what follows the colon, empty if there is none
	// Rest is what follows the word without a colon, as in "Brush fine sable".
	Rest   Text
	Tables []*Table
	// Hidden lists tables that are only shown as written. Whether that is an
	// error depends on what the section needs.
	Hidden []HiddenTable
	Links  []Link // links outside the tables
	// LostTable reports that a table of the section was read as text: rows may
	// seem to be missing.
	LostTable bool
	// Entries are the parts under its level-3 headings; the first has no heading
	// and holds what comes before them.
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

// Row is one row of a table, with exactly as many cells as the header.
type Row struct {
	Place source.Place // the row's line without the spaces around it
	Cells []Cell
	// Broken reports that bars split the row by mistake.
	Broken bool
}

// Cell is one cell. Its place is that of its text without the spaces around it;
// the place of an empty cell has no width.
type Cell struct {
	Text
	// Formula is the text inside the backticks if the cell is a single span of
	// code, otherwise empty.
	Formula Text
	Links   []Link
}

// HiddenTable is a table that is shown as written, or as prose.
type HiddenTable struct {
	Place source.Place // its header row
	Why   string       // "a table inside a quote ..."
	Fix   problem.Fix
}

// Unmarked is a fenced block that is not marked as working.
type Unmarked struct {
	// Word is the block's mark if it is a misspelt "working", otherwise "".
	Word string
	// Place is that of the word, or of the opening fence if there is no word.
	Place source.Place
	Names []string // the names that its lines would define
}

// Link is an ordinary Markdown link.
type Link struct {
	Label  string
	Target string // as a path, escapes undone, without the fragment
	// Fragment is what follows "#" in the target.
	Fragment    string
	Place       source.Place // the whole link
	TargetPlace source.Place // the target in brackets; the whole link if it refers to a target elsewhere
}

// Fence is a working block.
type Fence struct {
	Place source.Place // its mark: the word "working"
	Lines []Line
}

// Line is one line of a working block: name = formula # remark.
type Line struct {
	Place   source.Place
	Name    Text
	Formula Text
	Remark  string
}

// Kind is the kind of a piece of the notebook.
type Kind int8

// The kinds of pieces.
const (
	Prose        Kind = iota // prose outside the data sections
	SectionProse             // prose of a data section; the first follows its heading, the others a table or a block
	Working                  // a working block
)

type piece struct {
	kind    Kind
	section *Section
	fence   *Fence
	nodes   []ast.Node
}
