package logbook

import (
	"fmt"
	"html/template"
	"strconv"
)

// Swatch is what the page of a swatch sheet shows besides: where each mark is,
// and a box for each reading.
type Swatch struct {
	Sheets   int
	Trials   []Trial
	Readings []Reading
	Assumed  bool   // the widths of some marks are assumed, because the brush was not measured
	File     string // the list of what to measure, relative to the page
}

// Trial is a trial of a swatch sheet, with what to look for.
type Trial struct {
	Name        string
	First, Last int // numbers of its readings
	Text        string
}

// Reading is a length to be measured, at a place in mm on a sheet.
type Reading struct {
	Number, Sheet int
	X, Y          float64
	Trial         string
}

// Each is the number of each sheet.
func (s *Swatch) Each() []int {
	out := make([]int, s.Sheets)
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// Measures of the printed measuring sheet in mm. It fits on A4 and on letter with
// a margin of 10 mm: 190 x 259 mm.
const (
	drawingsWide = 130.0 // room for the drawings of the sheets
	fewerWide    = 106.0 // if there are so many boxes that they need more room
	drawingsHigh = 150.0
	boxesHigh    = 218.0 // room for the boxes
	easyRow      = 3.6   // a row that is easy to write in
	usualTrials  = 9     // whose notes fit below the drawings
	noteHigh     = 6.4   // each further note
)

// rows is the number of boxes, a heading for each trial included.
func (s *Swatch) rows() int { return len(s.Readings) + len(s.Trials) }

// boxColumns is in how many columns the boxes are printed: as few as can be written
// in, at most six.
func (s *Swatch) boxColumns() int {
	n, columns := max(1, s.rows()), 3
	for columns < 6 && boxesHigh/float64((n+columns-1)/columns) < easyRow {
		columns++
	}
	return columns
}

// wide is how wide the drawings of the sheets are together in print, mm.
func (s *Swatch) wide() float64 {
	if s.boxColumns() > 4 {
		return fewerWide
	}
	return drawingsWide
}

// Plan is the style of the printed sheet's two parts.
func (s *Swatch) Plan() template.CSS { return template.CSS("--left:" + mm(s.wide()) + "mm") }

// Look are the notes on the trials: those that say the same are one.
func (s *Swatch) Look() []Looked {
	var out []Looked
	at := map[string]int{}
	for _, t := range s.Trials {
		name := t.Name + ", " + strconv.Itoa(t.First)
		if t.Last != t.First {
			name += "–" + strconv.Itoa(t.Last)
		}
		if i, has := at[t.Text]; has {
			out[i].Trials += "; " + name
			continue
		}
		at[t.Text] = len(out)
		out = append(out, Looked{name, t.Text})
	}
	return out
}

// Looked is what to look for in some trials.
type Looked struct{ Trials, Text string }

// Boxes is the style of the grid of boxes in print.
func (s *Swatch) Boxes() template.CSS {
	columns := s.boxColumns()
	n := max(1, s.rows())
	rows := (n + columns - 1) / columns
	return template.CSS(fmt.Sprintf("--rows:%d;--row:%smm", rows, mm(min(5.2, boxesHigh/float64(rows)))))
}

// drawings is the style of the drawings of the sheets in print, arranged so that
// they are as large as possible.
func drawings(p *Page) template.CSS {
	n := max(1, p.Swatch.Sheets)
	high := max(50, drawingsHigh-float64(noteHigh*float64(max(0, len(p.Swatch.Look())-usualTrials))))
	const gap, below = 3, 6 // mm, between drawings, and below them with their captions
	best := 0.0
	for across := 1; across <= n; across++ {
		rows := float64((n + across - 1) / across)
		scale := min((p.Swatch.wide()-float64(gap*float64(across-1)))/float64(across)/p.Sheet.Width, (high/rows-below)/p.Sheet.Height)
		best = max(best, scale)
	}
	return template.CSS(fmt.Sprintf("--wide:%smm;--high:%smm", mm(best*p.Sheet.Width), mm(best*p.Sheet.Height)))
}

// Groups are the readings by trial, each with its heading.
func (s *Swatch) Groups() [][]Reading {
	var out [][]Reading
	for _, r := range s.Readings {
		if n := len(out); n == 0 || out[n-1][0].Trial != r.Trial {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], r)
	}
	return out
}

// numberShift (mm) is how far from a dot its two numbers are.
const numberShift = 2.0

func samePlace(a, b Reading) bool { return a.X == b.X && a.Y == b.Y && a.Sheet == b.Sheet }

// swatchSheet draws one sheet of a swatch with the numbers of its readings.
func swatchSheet(p *Page, sheet int) template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="sheet numbered" viewBox="` + p.Sheet.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte(fmt.Sprintf("Sheet %d of %d: where each mark is", sheet, p.Swatch.Sheets)))
	s.WriteString(`</title>`)
	s.paper(p.Sheet)
	for _, l := range p.Layers {
		if l.Sheet == sheet {
			s.use("marks", l)
		}
	}
	readings := p.Swatch.Readings
	for i, r := range readings {
		if r.Sheet != sheet {
			continue
		}
		// Two readings of one dot: one number above it, one below.
		y := p.Sheet.Height - r.Y + 1
		switch {
		case i+1 < len(readings) && samePlace(r, readings[i+1]):
			y -= numberShift
		case i > 0 && samePlace(r, readings[i-1]):
			y += numberShift
		}
		s.WriteString(`<text x="` + mm(r.X) + `" y="` + mm(y) + `">` + strconv.Itoa(r.Number) + `</text>`)
	}
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}
