// Package source holds files as they were read, and places in them.
package source

import (
	"fmt"
	"sort"
	"sync"
	"unicode/utf8"
)

// File is a file as read. It does not change after New.
type File struct {
	// Name is the path below the studio's root, with forward slashes.
	Name string
	// Data is the content, byte for byte.
	Data []byte
	// Binary reports that places are printed as byte offsets, not as lines.
	Binary bool

	once  sync.Once
	lines []int // offset of the first byte of each line
}

// New makes a file of data, which the caller must not change afterwards.
func New(name string, data []byte) *File { return &File{Name: name, Data: data} }

func (f *File) index() []int {
	f.once.Do(func() {
		f.lines = append(f.lines, 0)
		for i, b := range f.Data {
			// A lone CR ends a line too: some drawing programs still write it.
			if b == '\n' || b == '\r' && !(i+1 < len(f.Data) && f.Data[i+1] == '\n') {
				f.lines = append(f.lines, i+1)
			}
		}
	})
	return f.lines
}

// Position returns the line and the column of a byte offset, both counted from 1.
// Columns count characters, not bytes. An offset outside the file counts as its
// nearest end.
func (f *File) Position(offset int) (line, column int) {
	offset = max(0, min(offset, len(f.Data)))
	lines := f.index()
	line = sort.SearchInts(lines, offset+1)
	return line, utf8.RuneCount(f.Data[lines[line-1]:offset]) + 1
}

// Line returns the text of a line, counted from 1, without its line end.
func (f *File) Line(line int) string {
	lines := f.index()
	if line < 1 || line > len(lines) {
		return ""
	}
	end := len(f.Data)
	if line < len(lines) {
		end = lines[line]
	}
	text := f.Data[lines[line-1]:end]
	for len(text) > 0 && (text[len(text)-1] == '\n' || text[len(text)-1] == '\r') {
		text = text[:len(text)-1]
	}
	return string(text)
}

// Place returns the place of the bytes from start up to end.
func (f *File) Place(start, end int) Place { return Place{File: f, Start: start, End: end} }

// Place is a range of bytes in a file. The zero Place is nowhere.
type Place struct {
	File       *File
	Start, End int // byte offsets, End exclusive
}

// Known reports whether the place is in a file.
func (p Place) Known() bool { return p.File != nil }

// Name is the file's name, or "" for nowhere.
func (p Place) Name() string {
	if p.File == nil {
		return ""
	}
	return p.File.Name
}

// Line is the place's line from 1, or 0 for nowhere.
func (p Place) Line() int {
	if p.File == nil {
		return 0
	}
	line, _ := p.File.Position(p.Start)
	return line
}

// Column is the place's column in characters from 1, or 0 for nowhere.
func (p Place) Column() int {
	if p.File == nil {
		return 0
	}
	_, column := p.File.Position(p.Start)
	return column
}

// Text is the text at the place.
func (p Place) Text() string {
	if p.File == nil || p.Start < 0 || p.End > len(p.File.Data) || p.Start > p.End {
		return ""
	}
	return string(p.File.Data[p.Start:p.End])
}

// Sub is the place of the bytes from start up to end, counted inside p.
func (p Place) Sub(start, end int) Place {
	return Place{File: p.File, Start: p.Start + start, End: p.Start + end}
}

// String is file:line:column, or file:byte N in a binary file.
func (p Place) String() string {
	switch {
	case p.File == nil:
		return "-"
	case p.File.Binary:
		return fmt.Sprintf("%s:byte %d", p.File.Name, p.Start)
	default:
		line, column := p.File.Position(p.Start)
		return fmt.Sprintf("%s:%d:%d", p.File.Name, line, column)
	}
}

// Less orders places by file name, then by where they start and end.
func (p Place) Less(q Place) bool {
	if p.Name() != q.Name() {
		return p.Name() < q.Name()
	}
	if p.Start != q.Start {
		return p.Start < q.Start
	}
	return p.End < q.End
}
