package reading

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// byteOrderMark begins a file of some spreadsheets.
const byteOrderMark = "\ufeff"

// CSV reads a file of separated values (RFC 4180) as spreadsheets write them: with
// commas, semicolons or tabs, decimal points or commas, with or without a
// byte-order mark, and any line ends. The first line with text is the header.
func CSV(file *source.File) ([]Row, problem.List) {
	var list problem.List
	start := file.Place(0, min(len(file.Data), 1))
	switch data := file.Data; {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}), bytes.IndexByte(data, 0) >= 0:
		list.Errorf(problem.NotText, start, problem.Advise("save it again as CSV in UTF-8"), "%s is not text in UTF-8", file.Name)
		return nil, list
	case bytes.HasPrefix(data, []byte("PK")):
		list.Errorf(problem.NotText, start, problem.Advise("save it as CSV"), "%s is a spreadsheet's own file, not comma-separated values", file.Name)
		return nil, list
	case !utf8.Valid(data):
		at := invalid(data)
		list.Errorf(problem.NotText, file.Place(at, at+1), problem.Advise("save it again as CSV in UTF-8"), "%s has a character that is not UTF-8", file.Name)
		return nil, list
	}
	c := newCSV(file)
	header, err := c.next()
	if err != nil {
		if errors.Is(err, io.EOF) {
			list.Errorf(problem.MissingTable, start, problem.Advise("copy to-measure.csv there, and fill in its last column"), "%s is empty", file.Name)
			return nil, list
		}
		return nil, append(list, c.broken(err))
	}
	r := &reader{unitless: map[string]bool{}, commas: c.reader.Comma == ','}
	if !r.header(header) {
		return nil, r.problems
	}
	var out []Row
	for {
		l, err := c.next()
		switch {
		case errors.Is(err, io.EOF):
			return out, r.problems
		case err != nil:
			return nil, append(r.problems, c.broken(err))
		case len(out) >= most:
			r.problems.Errorf(problem.TooMany, l.place, problem.Advise("divide the file"), "%s has more than %d lines", file.Name, most)
			return nil, r.problems
		}
		if extra := surplus(l, len(r.columns)); extra != nil {
			r.add(problem.Problem{Code: problem.SurplusCell, Place: extra.Place, Fix: problem.Advise("put a text with a comma in it between double quotes; write decimals with a point, or separate the columns by semicolons"),
				Message: "the line has more cells than the header"})
			continue
		}
		if row, ok := r.row(l); ok {
			out = append(out, row)
		}
	}
}

// invalid is where a text stops to be UTF-8.
func invalid(data []byte) int {
	at := 0
	for at < len(data) {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size == 1 {
			return at
		}
		at += size
	}
	return 0
}

// surplus is the first cell with text beyond the header's, or nil.
func surplus(l line, columns int) *section.Text {
	for i := columns; i < len(l.cells); i++ {
		if !l.cells[i].Empty() {
			return &l.cells[i]
		}
	}
	return nil
}

// located reads cells with their places.
type located struct {
	file   *source.File
	reader *csv.Reader
	skip   int   // bytes before what the reader was given
	lines  []int // where the lines begin in that
}

func newCSV(file *source.File) *located {
	c := &located{file: file}
	text := withLineFeeds(file.Data)
	if bytes.HasPrefix(text, []byte(byteOrderMark)) {
		c.skip = len(byteOrderMark)
	}
	separator := separatorOf(text[c.skip:])
	if first, rest, _ := bytes.Cut(text[c.skip:], []byte("\n")); len(first) >= 5 && strings.EqualFold(string(first[:4]), "sep=") {
		separator = rune(first[4]) // some spreadsheets name it in a line of its own
		c.skip = len(text) - len(rest)
	}
	text = text[c.skip:]
	c.lines = []int{0}
	for i, b := range text {
		if b == '\n' {
			c.lines = append(c.lines, i+1)
		}
	}
	c.reader = csv.NewReader(bytes.NewReader(text))
	c.reader.FieldsPerRecord = -1
	c.reader.Comma = separator
	return c
}

// withLineFeeds is a text of the same length in which each line ends with a line
// feed: some spreadsheets end them with a carriage return alone.
func withLineFeeds(data []byte) []byte {
	if bytes.IndexByte(data, '\r') < 0 {
		return data
	}
	out := bytes.Clone(data)
	for i, b := range out {
		if b == '\r' && !(i+1 < len(out) && out[i+1] == '\n') {
			out[i] = '\n'
		}
	}
	return out
}

// separatorOf is the separator that is most frequent in the first line with text.
func separatorOf(text []byte) rune {
	text = bytes.TrimLeft(text, " \t\r\n")
	first, _, _ := bytes.Cut(text, []byte("\n"))
	best, most := ',', 0
	for _, separator := range ",;\t" {
		if n := bytes.Count(first, []byte(string(separator))); n > most {
			best, most = separator, n
		}
	}
	return best
}

// next is the next line with text; io.EOF behind the last.
func (c *located) next() (line, error) {
	for {
		record, err := c.reader.Read()
		if err != nil {
			return line{}, err
		}
		out := line{cells: make([]section.Text, len(record))}
		any := false
		for i, text := range record {
			row, col := c.reader.FieldPos(i)
			from := c.offset(row, col)
			if from < len(c.file.Data) && c.file.Data[from] == '"' {
				from++
			}
			trimmed := strings.TrimSpace(text)
			from += strings.Index(text, trimmed)
			out.cells[i] = section.Text{String: trimmed, Place: c.file.Place(min(from, len(c.file.Data)), min(from+len(trimmed), len(c.file.Data)))}
			any = any || trimmed != ""
		}
		if any {
			out.place = c.file.Place(out.cells[0].Place.Start, out.cells[len(out.cells)-1].Place.End)
			return out, nil
		}
	}
}

// offset is the byte in the file at a line and a column, counted from 1.
func (c *located) offset(row, column int) int {
	row = max(1, min(row, len(c.lines)))
	return c.skip + c.lines[row-1] + column - 1
}

// broken is the problem of a file whose quotes do not match.
func (c *located) broken(err error) problem.Problem {
	p := problem.Problem{Code: problem.NotText, Place: c.file.Place(0, 0), Fix: problem.Advise("save it again as CSV; a double quote inside a text is written twice"),
		Message: c.file.Name + " cannot be read: " + err.Error()}
	var wrong *csv.ParseError
	if errors.As(err, &wrong) {
		at := c.offset(wrong.Line, max(wrong.Column, 1))
		if wrong.StartLine < wrong.Line || at >= len(c.file.Data) { // the text ran on: it began in that line
			at = c.offset(wrong.StartLine, 1)
		}
		at = min(at, len(c.file.Data))
		p.Place, p.Message = c.file.Place(at, min(at+1, len(c.file.Data))), "a double quote is missing or out of place"
	}
	return p
}
