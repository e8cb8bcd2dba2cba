package problem

import (
	"bytes"
	"strings"
)

// The mends that a program can carry out. Any other mend is advice to a
// reader.
const (
	// MendWrite: what follows takes the place of the text at fault.
	MendWrite = "write: "
	// MendBelow: what follows is added as lines of its own below the line on
	// which the text at fault ends.
	MendBelow = "add below: "
	// MendBlank: an empty line is added above the line at fault.
	MendBlank = "put an empty line above"
	// MendTakeOut: the lines of the text at fault are taken out.
	MendTakeOut = "take out this line"
)

// Apply carries out the mend of p on the bytes of its file and returns the
// mended bytes. It answers false where the mend is advice or has no place;
// data itself is never changed.
func Apply(p Problem, data []byte) ([]byte, bool) {
	start, end := p.Place.Start, p.Place.End
	if !p.Place.Known() || start < 0 || end < start || end > len(data) {
		return nil, false
	}
	eol := "\n"
	if bytes.Contains(data, []byte("\r\n")) {
		eol = "\r\n"
	}
	switch {
	case strings.HasPrefix(p.Mend, MendWrite):
		return splice(data, start, end, strings.TrimPrefix(p.Mend, MendWrite)), true
	case strings.HasPrefix(p.Mend, MendBelow):
		text := strings.ReplaceAll(strings.TrimPrefix(p.Mend, MendBelow), "\n", eol)
		at := lineEnd(data, end)
		if at == len(data) && (at == 0 || data[at-1] != '\n') {
			return splice(data, at, at, eol+text), true
		}
		return splice(data, at, at, text+eol), true
	case p.Mend == MendBlank:
		at := lineStart(data, start)
		return splice(data, at, at, eol), true
	case strings.HasPrefix(p.Mend, MendTakeOut):
		return splice(data, lineStart(data, start), lineEnd(data, end), ""), true
	default:
		return nil, false
	}
}

func splice(data []byte, start, end int, text string) []byte {
	out := make([]byte, 0, len(data)+len(text))
	out = append(out, data[:start]...)
	out = append(out, text...)
	return append(out, data[end:]...)
}

func lineStart(data []byte, at int) int { return bytes.LastIndexByte(data[:at], '\n') + 1 }

func lineEnd(data []byte, at int) int {
	if i := bytes.IndexByte(data[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(data)
}
