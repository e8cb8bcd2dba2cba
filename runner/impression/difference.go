package impression

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Difference is the first place where two files differ.
type Difference struct {
	File    string // below the impression's folder
	Line    int    // from 1, 0 for the file as a whole
	Was, Is string // the text of the line, shortened around the difference
}

func (d Difference) String() string {
	if d.Line == 0 {
		return fmt.Sprintf("%s %s, %s", d.File, d.Was, d.Is)
	}
	return fmt.Sprintf("%s:%d\n  was  %s\n  is   %s", d.File, d.Line, d.Was, d.Is)
}

// firstDifference finds the first line in which two texts differ. In a program,
// comments come last: the hash in a comment differs whatever the difference is.
func firstDifference(was, is []byte, program bool) Difference {
	var first Difference
	for line := 1; ; line++ {
		a, restA, moreA := bytes.Cut(was, []byte("\n"))
		b, restB, moreB := bytes.Cut(is, []byte("\n"))
		if !bytes.Equal(a, b) || moreA != moreB {
			d := Difference{Line: line}
			d.Was, d.Is = around(a, b, moreA, moreB)
			if !program || !isComment(a) || !isComment(b) {
				return d
			}
			if first.Line == 0 {
				first = d
			}
		}
		if !moreA || !moreB {
			return first
		}
		was, is = restA, restB
	}
}

// isComment reports whether a line of a program is only a comment.
func isComment(line []byte) bool { return len(line) > 0 && line[0] == '(' }

// How many bytes of a line are shown before the difference, and from it on: two such
// lines fit on a screen.
const (
	shownBefore = 40
	shownAfter  = 80
)

// around shortens two lines around the first place where they differ.
func around(a, b []byte, moreA, moreB bool) (string, string) {
	at := 0
	for at < len(a) && at < len(b) && a[at] == b[at] {
		at++
	}
	for at > 0 && at < len(a) && !utf8.RuneStart(a[at]) {
		at--
	}
	show := func(s []byte, more bool) string {
		if len(s) == 0 && !more {
			return "(the end)"
		}
		start, end := max(0, at-shownBefore), min(len(s), at+shownAfter)
		for start > 0 && start < len(s) && !utf8.RuneStart(s[start]) {
			start--
		}
		for end < len(s) && !utf8.RuneStart(s[end]) {
			end++
		}
		text := printable(s[min(start, end):end])
		if start > 0 {
			text = "…" + text
		}
		if end < len(s) {
			text += "…"
		}
		return text
	}
	one, two := show(a, moreA), show(b, moreB)
	if bytes.Equal(a, b) { // only one has a line end
		if moreA {
			return one, two + " (without a line end)"
		}
		return one + " (without a line end)", two
	}
	return one, two
}

// printable replaces characters that could control a terminal.
func printable(s []byte) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c >= 0x7f && c < 0xa0 || c == utf8.RuneError {
			return '�'
		}
		return c
	}, string(s))
}

// pageText is the text of a page, without styles, pictures and repeated spaces.
func pageText(page []byte) []byte {
	var out bytes.Buffer
	for len(page) > 0 {
		open := bytes.IndexByte(page, '<')
		if open < 0 {
			open = len(page)
		}
		for _, w := range bytes.Fields(page[:open]) {
			out.Write(w)
			out.WriteByte(' ')
		}
		page = page[open:]
		for _, name := range []string{"style", "svg"} {
			if bytes.HasPrefix(page, []byte("<"+name)) {
				if end := bytes.Index(page, []byte("</"+name+">")); end >= 0 {
					page = page[end:]
				}
			}
		}
		shut := bytes.IndexByte(page, '>')
		if shut < 0 {
			break
		}
		page = page[shut+1:]
	}
	return out.Bytes()
}
