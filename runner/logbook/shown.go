package logbook

import (
	"math"

	"mahlstick/recipe/format"
)

// shown is a page with values computed from it.
type shown struct {
	*Page
	rowIDs map[string]string // ids of rows, cells and brushes, by their names in formulas
	Total  Total
	Broken int // rules that a program breaks
}

// Total is the sum over all layers.
type Total struct {
	Strokes, CheckMarks, Crosses int
	Painted, Seconds             float64
}

func newShown(p *Page) *shown {
	s := &shown{Page: p, rowIDs: rowIDs(p.Blocks)}
	for _, l := range p.Layers {
		s.Total.Strokes += l.Picture
		s.Total.CheckMarks += l.CheckMarks
		s.Total.Crosses += l.Crosses
		s.Total.Painted += l.Painted
		s.Total.Seconds += l.Seconds
	}
	for _, c := range p.Checks {
		if !c.OK {
			s.Broken++
		}
	}
	return s
}

// MiddleMark is the name of the middle mark of the check strip.
func (l Layer) MiddleMark() string {
	if len(l.Strip) == 0 {
		return ""
	}
	return l.Strip[len(l.Strip)/2].Name
}

// Measured reports whether the program was compared with the drawing.
func (l Layer) Measured() bool { return !math.IsNaN(l.Coverage) }

// NotPainted reports whether something drawn is not painted.
func (l Layer) NotPainted() bool {
	for _, r := range l.Remarks {
		if r.Refused {
			return true
		}
	}
	return false
}

// Filled reports whether some of the strokes are lanes or corner touches.
func (l Layer) Filled() bool { return l.Lanes+l.Corners > 0 }

// Gestures lists the strokes by what they are for: "4 strokes, 14 lanes and 2
// corner touches".
func (l Layer) Gestures() string {
	var parts []string
	for _, k := range []struct {
		n    int
		noun string
	}{{l.Strokes, "stroke"}, {l.Lanes, "lane"}, {l.Corners, "corner touch"}} {
		if k.n > 0 {
			parts = append(parts, format.Count(k.n, k.noun))
		}
	}
	if len(parts) == 0 {
		return "none"
	}
	return format.List(parts)
}

// Off is how much wider the mark is than it should be, in mm.
func (r StripReading) Off() float64 { return r.Measured - r.Asked }

// Good reports whether the mark is known to be within its limit.
func (r StripReading) Good() bool { return r.Limit > 0 && math.Abs(r.Off()) <= r.Limit }

// CheckTable is the checks of one program.
type CheckTable struct {
	Program        string
	Checks         []Check
	Passed, Failed int
}

// CheckTables groups the checks by program, in their order.
func (s *shown) CheckTables() (out []CheckTable) {
	for _, c := range s.Checks {
		if len(out) == 0 || out[len(out)-1].Program != c.Program {
			out = append(out, CheckTable{Program: c.Program})
		}
		t := &out[len(out)-1]
		t.Checks = append(t.Checks, c)
		if c.OK {
			t.Passed++
		} else {
			t.Failed++
		}
	}
	return out
}

// widestTable is the most columns of a recipe's table that fit on a sheet of
// paper.
const widestTable = 11

// TooWide reports whether a table has more columns than fit on paper. If so,
// its rows are printed as lists.
func (t *Table) TooWide() bool { return len(t.Head) > widestTable }
