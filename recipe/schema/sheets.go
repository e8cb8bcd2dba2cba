package schema

import (
	"fmt"
	"strings"
)

// smallestSheet is the last number of each series.
const smallestSheet = 10

// series are width and height of sheet number 0 in mm. Each next sheet is half of
// the one before, rounded down to a millimetre. ISO 216:2007 (A, B), ISO 269 (C).
var series = []struct {
	letter        string
	width, height int
}{{"A", 841, 1189}, {"B", 1000, 1414}, {"C", 917, 1297}}

// inchSheets are 8.5 x 11 and 8.5 x 14 inches (ASME Y14.1), exactly in mm.
var inchSheets = []struct {
	name          string
	width, height float64
}{{"letter", 215.9, 279.4}, {"legal", 215.9, 355.6}}

// SheetSize returns the portrait width and height in mm of a named sheet and its
// usual spelling, ignoring case.
func SheetSize(name string) (width, height float64, written string, ok bool) {
	name = strings.TrimSpace(name)
	for _, s := range inchSheets {
		if strings.EqualFold(name, s.name) {
			return s.width, s.height, s.name, true
		}
	}
	for _, s := range series {
		w, h := s.width, s.height
		for n := range smallestSheet + 1 {
			if written := fmt.Sprintf("%s%d", s.letter, n); strings.EqualFold(name, written) {
				return float64(w), float64(h), written, true
			}
			w, h = h/2, w
		}
	}
	return 0, 0, "", false
}

// SheetNames lists the named sheets.
func SheetNames() []string {
	var out []string
	for _, s := range series {
		for n := range smallestSheet + 1 {
			out = append(out, fmt.Sprintf("%s%d", s.letter, n))
		}
	}
	for _, s := range inchSheets {
		out = append(out, s.name)
	}
	return out
}
