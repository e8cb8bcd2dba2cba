package section

import (
	"bytes"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// Limits on one notebook. Some of the Markdown library's work grows with the
// square of a line's length or of the nesting.
const (
	MaxBytes     = 4 << 20  // about a thousand pages of text
	MaxLineBytes = 16 << 10 // far above any paragraph on one line
	MaxNesting   = 100      // quotes and lists inside each other on one line
)

// admit checks what can be checked before parsing, and sets the text to parse:
// the file's bytes at the same offsets, with spaces for a byte order mark and
// line feeds for lone carriage returns.
func admit(in *input) bool {
	in.text = in.file.Data
	if len(in.text) > MaxBytes {
		in.problems.Errorf(problem.TooLarge, in.place(0, 0), problem.Advise("keep a notebook below 4 MB; put pictures in files of their own"),
			"the notebook has %d bytes, more than %d", len(in.text), MaxBytes)
		return false
	}
	if !admitEncoding(in) {
		return false
	}
	in.text = withLineFeeds(withoutByteOrderMark(in.text))
	return admitLines(in) && admitMerged(in)
}

// admitEncoding accepts only UTF-8.
func admitEncoding(in *input) bool {
	text := in.text
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		in.problems.Errorf(problem.NotText, in.place(0, 2), problem.Advise("save it as UTF-8"), "the notebook is saved as UTF-16")
		return false
	}
	if utf8.Valid(text) && bytes.IndexByte(text, 0) < 0 {
		return true
	}
	at := 0
	for at < len(text) {
		c, n := utf8.DecodeRune(text[at:])
		if c == 0 || c == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	in.problems.Errorf(problem.NotText, in.place(at, at+1), problem.Advise("save it as UTF-8"), "the notebook is not text: it contains the byte %#02x", text[at])
	return false
}

// withoutByteOrderMark replaces a byte order mark with three spaces: a heading
// after three spaces is still a heading.
func withoutByteOrderMark(text []byte) []byte {
	if rest, marked := bytes.CutPrefix(text, []byte("\xef\xbb\xbf")); marked {
		return append([]byte("   "), rest...)
	}
	return text
}

// withLineFeeds replaces lone carriage returns with line feeds.
func withLineFeeds(text []byte) []byte {
	i := bytes.IndexByte(text, '\r')
	if i < 0 {
		return text
	}
	text = bytes.Clone(text)
	for ; i < len(text); i++ {
		if text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			text[i] = '\n'
		}
	}
	return text
}

// admitLines refuses lines that would take the library very long.
func admitLines(in *input) bool {
	start := 0
	for line := range bytes.Lines(in.text) {
		if len(line) > MaxLineBytes {
			in.problems.Errorf(problem.LongLine, in.place(start, start), problem.Advise("break the line; a paragraph may be broken at any space"),
				"the line has %d bytes, more than %d", len(line), MaxLineBytes)
			return false
		}
		if nesting(line) > MaxNesting {
			in.problems.Errorf(problem.DeepNesting, in.place(start, start), problem.Advise("remove >, list signs or spaces before the text"),
				"quotes and lists are nested more than %d deep on this line", MaxNesting)
			return false
		}
		start += len(line)
	}
	return true
}

// The lines that version control writes around two versions of the same lines.
var (
	mergeStart  = []byte("<<<<<<<")
	mergeMiddle = []byte("=======")
	mergeEnd    = []byte(">>>>>>>")
)

// admitMerged refuses a text in which version control left two versions of the
// same lines: only the author knows which one is meant.
func admitMerged(in *input) bool {
	isMarker := func(line, marker []byte) bool {
		rest, ok := bytes.CutPrefix(bytes.TrimRight(line, " \t\r\n"), marker)
		return ok && (len(rest) == 0 || rest[0] == ' ')
	}
	start, divided, clean := 0, false, true
	for line := range bytes.Lines(in.text) {
		divided = divided || isMarker(line, mergeMiddle)
		if isMarker(line, mergeStart) || divided && isMarker(line, mergeEnd) {
			if clean || isMarker(line, mergeStart) {
				in.problems.Errorf(problem.MergeMarker, in.place(start, in.lineEnd(start)), problem.Advise("keep one of the two versions, and take out the lines that begin with <<<<<<<, ======= and >>>>>>>"),
					"version control left two versions of these lines, between the merge markers <<<<<<< and >>>>>>>")
			}
			clean = false
		}
		start += len(line)
	}
	return clean
}

// nesting bounds how deep the quote signs, list signs and spaces before a line's
// text can nest it.
func nesting(line []byte) int {
	marks, columns := 0, 0
	for i := 0; i < len(line) && line[i] != '\n' && line[i] != '\r'; i++ {
		next := byte('\n')
		if i+1 < len(line) {
			next = line[i+1]
		}
		switch c := line[i]; {
		case c == ' ':
			columns++
		case c == '\t':
			columns += 4
		case c == '>':
			marks++
		case (c == '-' || c == '+' || c == '*' || c == '.' || c == ')') && blank(next):
			marks++
		case c >= '0' && c <= '9':
		default:
			return marks + max(0, columns-marks)/2
		}
	}
	return marks // there is no text
}
