package problem

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/source"
)

// widestLine bounds the part of a source line that is printed, in terminal
// columns.
const widestLine = 96

// Print writes the list for a terminal, each problem with its source line, a
// marker below the text at fault and the fix after the marker. The order is
// that of the list.
func Print(w io.Writer, list List) error {
	out := bufio.NewWriter(w)
	for _, p := range list {
		head := ""
		if p.Severity != Error {
			head = p.Severity.String() + ": "
		}
		fmt.Fprintf(out, "%s: %s%s [%s]\n", Sanitize(p.Place.String()), head, Sanitize(p.Message), p.Code)
		printLine(out, "    ", p.Place, p.Fix.Advice)
		for _, related := range p.Related {
			fmt.Fprintf(out, "    %s: %s\n", Sanitize(related.Place.String()), Sanitize(related.Note))
			printLine(out, "        ", related.Place, "")
		}
	}
	return out.Flush()
}

// printLine writes a source line and the marker. A fix of several lines
// follows below the marker.
func printLine(out *bufio.Writer, indent string, at source.Place, advice string) {
	head, rest, more := strings.Cut(advice, "\n")
	if !at.Known() || at.File.Binary || len(at.File.Data) == 0 {
		if advice != "" {
			fmt.Fprintf(out, "%s%s\n", indent, Sanitize(head))
		}
	} else {
		number, column := at.File.Position(at.Start)
		before, marked, after := cut(at.File.Line(number), column, utf8.RuneCountInString(firstLine(at.Text())))
		text := strings.TrimRight(before+marked+after, " \t")
		fmt.Fprintf(out, "%s%s\n", indent, text)
		fmt.Fprintf(out, "%s%s%s", indent, blanks(before), strings.Repeat("^", max(1, columns(marked))))
		if advice != "" {
			fmt.Fprintf(out, " %s", strings.TrimRight(Sanitize(head), " "))
		}
		out.WriteByte('\n')
	}
	if more {
		for line := range strings.SplitSeq(rest, "\n") {
			fmt.Fprintln(out, strings.TrimRight(indent+"    "+Sanitize(line), " "))
		}
	}
}

func firstLine(s string) string {
	if i := strings.IndexAny(s, "\r\n"); i >= 0 {
		return s[:i]
	}
	return s
}

// cut splits a line into the text before, at and after n characters from a
// column counted from 1, and shortens it around them where it is too long.
func cut(line string, column, n int) (before, marked, after string) {
	runes := []rune(line)
	start := min(max(column-1, 0), len(runes))
	end := min(start+n, len(runes))
	from, to := 0, len(runes)
	if end-start > widestLine {
		// More than the line can show: its first word is enough to find it, and
		// leaves room for the advice.
		end = start + widestLine/3
		if word := slices.Index(runes[start+1:end], ' '); word >= 0 {
			end = start + 1 + word
		}
	}
	if len(runes) > widestLine {
		from = max(0, min(start-widestLine/3, len(runes)-widestLine))
		to = max(end, min(len(runes), from+widestLine))
	}
	before, marked, after = Sanitize(string(runes[from:start])), Sanitize(string(runes[start:end])), Sanitize(string(runes[end:to]))
	if from > 0 {
		before = "…" + before
	}
	if to < len(runes) {
		after += "…"
	}
	return before, marked, after
}

// Sanitize replaces control characters, so that somebody else's recipe cannot
// control the reader's terminal. Tabs stay.
func Sanitize(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return r
		case unicode.IsControl(r), r == '\u2028', r == '\u2029', unicode.Is(unicode.Bidi_Control, r), r == utf8.RuneError:
			return '\uFFFD'
		}
		return r
	}, s)
}

// record is one problem as JSON. Lines and columns count from 1, columns in
// characters; the end column is the first one after the text at fault.
type record struct {
	Severity  string          `json:"severity"`
	File      string          `json:"file"`
	Line      int             `json:"line"`
	Column    int             `json:"column"`
	EndLine   int             `json:"end_line"`
	EndColumn int             `json:"end_column"`
	Code      Code            `json:"code"`
	Message   string          `json:"message"`
	Mend      string          `json:"mend,omitempty"`
	Edits     []editRecord    `json:"edits,omitempty"`
	Related   []relatedRecord `json:"related,omitempty"`
}

// editRecord is an edit that fixes the problem: the text from line and column
// up to the end becomes Text.
type editRecord struct {
	File      string `json:"file"`
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	EndLine   int    `json:"end_line"`
	EndColumn int    `json:"end_column"`
	Text      string `json:"text"`
}

// relatedRecord is a related place.
type relatedRecord struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Note   string `json:"note"`
}

// PrintJSON writes one JSON object a line for each problem, in the order of
// the list, so that an editor can jump to them.
func PrintJSON(w io.Writer, list List) error {
	out := bufio.NewWriter(w)
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	for _, p := range list {
		l := record{Severity: p.Severity.String(), Code: p.Code, Message: p.Message, Mend: p.Fix.Advice, File: p.Place.Name()}
		if p.Place.Known() {
			l.Line, l.Column = p.Place.File.Position(p.Place.Start)
			l.EndLine, l.EndColumn = p.Place.File.Position(p.Place.End)
		}
		for _, e := range p.Edits() {
			c := editRecord{File: e.Place.Name(), Text: e.Text}
			c.Line, c.Column = e.Place.File.Position(e.Place.Start)
			c.EndLine, c.EndColumn = e.Place.File.Position(e.Place.End)
			l.Edits = append(l.Edits, c)
		}
		for _, r := range p.Related {
			l.Related = append(l.Related, relatedRecord{r.Place.Name(), r.Place.Line(), r.Place.Column(), r.Note})
		}
		if err := encoder.Encode(l); err != nil {
			return fmt.Errorf("writing the problems: %w", err)
		}
	}
	return out.Flush()
}
