package proof

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// text is the program as it is read, line by line. It collects the faults.
type text struct {
	path *Path
	line []byte
	stop bool // read no further
}

// column is the column of byte i of the line, in characters from 1.
func (t *text) column(i int) int { return utf8.RuneCount(t.line[:i]) + 1 }

// fault reports n bytes of the line from byte i on.
func (t *text) fault(i, n int, code, fix, format string, args ...any) {
	part := t.line[min(i, len(t.line)):min(i+n, len(t.line))]
	if len(part) > 40 {
		part = part[:40]
	}
	t.path.Faults = append(t.path.Faults, Fault{
		File: t.path.Name, Line: t.path.Lines, Column: t.column(min(i, len(t.line))), Code: code,
		Text: strings.ToValidUTF8(string(part), "?"), Message: fmt.Sprintf(format, args...), Fix: fix,
	})
	if len(t.path.Faults) == MaxFaults {
		t.stop = true
	}
}

// plain is a number in as few digits as possible, without an exponent.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
