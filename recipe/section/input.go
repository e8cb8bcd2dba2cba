package section

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// input is the text of a notebook and the problems found in it.
type input struct {
	file     *source.File
	text     []byte // the bytes that are parsed, at the same offsets as in the file
	problems problem.List
	// inResults reports that the section Results is being read.
	inResults bool
}

// resultsWord is the section that is written after painting.
const resultsWord = "Results"

// errorf reports an error. In the results it is a warning: writing them must
// never stop a job that could be painted.
func (in *input) errorf(code problem.Code, at source.Place, fix problem.Fix, format string, args ...any) {
	if in.inResults {
		in.problems.Warnf(code, at, fix, format, args...)
		return
	}
	in.problems.Errorf(code, at, fix, format, args...)
}

// place turns offsets of the parsed text into a place inside the file.
func (in *input) place(start, end int) source.Place {
	n := len(in.file.Data)
	start = min(max(start, 0), n)
	return in.file.Place(start, min(max(end, start), n))
}

// trim moves both ends inwards past spaces and line ends.
func (in *input) trim(start, end int) (int, int) {
	for start < end && blank(in.text[start]) {
		start++
	}
	for end > start && blank(in.text[end-1]) {
		end--
	}
	return start, end
}

func blank(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }

// lineEnd is the end of the line at an offset, without the line end.
func (in *input) lineEnd(at int) int {
	at = min(max(at, 0), len(in.text))
	end := len(in.text)
	if i := bytes.IndexByte(in.text[at:], '\n'); i >= 0 {
		end = at + i
	}
	for end > at && blank(in.text[end-1]) {
		end--
	}
	return end
}

// lintHTML reports that raw HTML is not shown. Comments are hidden on purpose.
func (in *input) lintHTML(at int) {
	if at, end := in.trim(at, in.lineEnd(at)); !bytes.HasPrefix(in.text[at:end], []byte("<!--")) {
		in.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.RawHtml, Place: in.place(at, end),
			Message: "raw HTML is left out of the page", Fix: problem.Advise("write it in Markdown")})
	}
}

// span is a range of bytes of the parsed text.
type span struct{ start, end int }

// split cuts a line of a table at its bars (|). A bar after a backslash does not
// count; between backticks it does (GFM 0.29, "Tables (extension)"). The spans
// are trimmed.
func (in *input) split(start, end int) []span {
	start, end = in.trim(start, end)
	text := in.text
	if start < end && text[start] == '|' {
		start++
	}
	if start < end && text[end-1] == '|' && !(end-2 >= start && text[end-2] == '\\') {
		end--
	}
	var out []span
	for from := start; from < end; {
		stop := from
		for stop < end && !(text[stop] == '|' && (stop == 0 || text[stop-1] != '\\')) {
			stop++
		}
		a, b := in.trim(from, stop)
		if a == b {
			a = min(from+1, stop) // after the space that follows the bar
			b = a
		}
		out = append(out, span{a, b})
		from = stop + 1
	}
	if len(out) == 0 {
		out = append(out, span{start, start}) // a single bar
	}
	return out
}
