package logbook

import (
	"bytes"
	"html"
	"html/template"
	"regexp"
	"slices"
	"strings"
)

// Measures of the printed card in mm, as card.css states them.
const (
	proseHigh = 3.6  // a line of 8.2 points
	cellHigh  = 3.77 // a line in the table
	em        = 2.9  // 8.2 points
	titleHigh = 8.4  // a line of the title
	whoWide   = 116.0
	bedWide   = 60.0 // the picture of the bed, and its text
	bedHigh   = 78.0
	bedLow    = 62.0 // its height on a tight card
	notesHigh = 12.0 // a line for notes, and the space before it
)

// fit is how a card makes room on its front.
type fit struct {
	Tight             bool // less space between rows, a smaller picture of the bed
	Ranges            int  // of the scale, on each side of the good one
	Notes, Wells, All bool // moved to the back: Afterwards, loads in wells, the scale
}

// fits are tried in this order: first what takes nothing from the front.
var fits = []fit{
	{Ranges: 3},
	{Ranges: 3, Tight: true},
	{Ranges: 2, Tight: true},
	{Ranges: 2, Tight: true, Notes: true},
	{Ranges: 2, Tight: true, Notes: true, Wells: true},
	{Ranges: 1, Tight: true, Notes: true, Wells: true},
	{Ranges: 3, Tight: true, Notes: true, Wells: true, All: true},
}

// Fitted is the sheet with the first fit that leaves nothing out of its front.
func (s cardSheet) Fitted() (*cardSheet, error) {
	for _, s.Fit = range fits {
		high, err := frontHigh(&s)
		if err != nil {
			return nil, err
		}
		if high <= sideHigh {
			break
		}
	}
	if s.Fit.Tight {
		moved, err := cardPart(&s, "moved")
		if err != nil {
			return nil, err
		}
		s.movedHigh = blocksHigh(moved, sideWide) + tableHigh(moved, len(s.Group), true)
		if s.Fit.NotesBehind(s.Group) {
			s.movedHigh += notesHigh
		}
	}
	return &s, nil
}

// cardPart is a part of the card, as it is written.
func cardPart(s *cardSheet, name string) (string, error) {
	var out bytes.Buffer
	err := cards.ExecuteTemplate(&out, name, s)
	return pictures.ReplaceAllString(out.String(), ""), err
}

// frontHigh (mm) is how high all that the front says is when it is printed: rather
// too much than too little.
func frontHigh(s *cardSheet) (float64, error) {
	front, err := cardPart(s, "front")
	if err != nil {
		return 0, err
	}
	title := lines(s.Title, sideWide, 19/8.2*em)
	head := 5 + titleHigh*float64(title)
	if title > 1 || lines(s.Title, sideWide-whoWide, 19/8.2*em) > 1 {
		head += 5
	}
	cautions := 5 + blocksHigh(between(front, `<div class="cautions">`, `</div>`), sideWide-6)
	caption := 1 + proseHigh*float64(lines(plain(between(front, "<figcaption>", "</figcaption>")), bedWide, em))
	_, picture := bedSize(s.Page, s.Fit.Tight)
	said := blocksHigh(between(front, "</figure>", `<div class="scroll"`), sideWide-bedWide-4-4)
	high := head + cautions + max(picture+caption, said) + tableHigh(front, len(s.Group), s.Fit.Tight)
	if _, notes, ok := strings.Cut(front, `<div class="notes">`); ok {
		high += 2 + blocksHigh(notes, sideWide)
	}
	return high, nil
}

var (
	pictures = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	marking  = regexp.MustCompile(`<[^>]*>`)
	blocks   = regexp.MustCompile(`(?s)<(?:li|h2|p)(?: [^>]*)?>(.*?)</(li|h2|p)>`)
	rows     = regexp.MustCompile(`(?s)<tr(?: class="([^"]*)")?>(.*?)</tr>`)
	cells    = regexp.MustCompile(`(?s)<(th|td)([^>]*)>(.*?)</(?:th|td)>`)
)

// between is the text after a and before the next b.
func between(text, a, b string) string {
	_, text, _ = strings.Cut(text, a)
	text, _, _ = strings.Cut(text, b)
	return text
}

func plain(text string) string { return html.UnescapeString(marking.ReplaceAllString(text, "")) }

// blocksHigh (mm) is how high paragraphs, list items and headings are.
func blocksHigh(text string, wide float64) float64 {
	high := 0.0
	for _, b := range blocks.FindAllStringSubmatch(text, -1) {
		high += 0.3 + proseHigh*float64(lines(plain(b[1]), wide, em))
		if b[2] == "h2" {
			high += 2
		}
	}
	return high
}

// tableHigh (mm) is how high the table in a text is; 0 without one.
func tableHigh(text string, columns int, tight bool) float64 {
	if !strings.Contains(text, "<table") {
		return 0
	}
	first, space := sideWide/float64(columns+1), 0.0
	if columns > 4 {
		first = 0.15 * sideWide
	}
	wide := (sideWide-first)/float64(columns) - 1.5
	high, spanned := 2.0, 0.0 // spanned: how far down a cell over many rows reaches
	for _, row := range rows.FindAllStringSubmatch(text, -1) {
		one := strings.HasPrefix(row[1], "do") || strings.HasPrefix(row[1], "scaling") // they do not wrap
		most := 1
		for _, c := range cells.FindAllStringSubmatch(row[2], -1) {
			switch n := lines(plain(c[3]), first-1.5, em); {
			case strings.Contains(c[2], "rowspan"):
				spanned = max(spanned, high+1.5+cellHigh*float64(n))
			case c[1] == "th" && !strings.Contains(c[2], "col"):
				most = max(most, n)
			case !one:
				most = max(most, lines(plain(c[3]), wide, em))
			}
		}
		switch {
		case strings.HasPrefix(row[1], "scaling"):
			space = 0.36
		case strings.HasPrefix(row[1], "do") && !tight:
			space = 1.9
		default:
			space = 1.25
		}
		high += space + cellHigh*float64(most)
		if !strings.HasPrefix(row[1], "scaling") && !strings.Contains(row[2], "rowspan") && len(row[1]) == 0 {
			high = max(high, spanned)
		}
	}
	return max(high, spanned)
}

// lines is how many lines a text takes.
func lines(text string, wide, em float64) int {
	n, used := 1, 0.0
	for word := range strings.FieldsSeq(text) {
		w := em * ems(word)
		if used > 0 && used+w > wide {
			n, used = n+1, 0
		}
		for ; w > wide; w -= wide {
			n++
		}
		used += w + 0.28*em
	}
	return n
}

// ems is about how wide a word is, in the size of its type; the classes and widths
// are from memory of sans serif type, a little too wide.
func ems(word string) float64 {
	w := 0.0
	for _, r := range word {
		switch {
		case strings.ContainsRune("ijlftrI.,:;'!|()[]-", r):
			w += 0.31
		case strings.ContainsRune("mwMW…%@", r) || r > 0x2000:
			w += 0.92
		case r >= 'A' && r <= 'Z':
			w += 0.72
		default:
			w += 0.56
		}
	}
	return w
}

// bedSize (mm) is how wide and high the picture of the bed is on the card.
func bedSize(p *Page, tight bool) (wide, high float64) {
	b := newBedPicture(p)
	left, top, right, bottom := room(b, p.Wells)
	most := bedHigh
	if tight {
		most = bedLow
	}
	wide = min(bedWide, most*(right-left)/(bottom-top))
	return wide, wide * (bottom - top) / (right - left)
}

// BedUnit is a printed millimetre in the picture of the bed, and its width.
func (f fit) BedUnit(p *Page) template.CSS {
	b := newBedPicture(p)
	left, _, right, _ := room(b, p.Wells)
	wide, _ := bedSize(p, f.Tight)
	return template.CSS("--b:" + mm3((right-left)/wide) + "px;--bed:" + mm(wide) + "mm")
}

// NotesBehind reports whether what to do afterwards is said on the back.
func (f fit) NotesBehind(g group) bool { return f.Notes && !g.Narrow() }

// ScaleRows are the ranges of the scales, row by row, as many as the fit has.
func (f fit) ScaleRows(g group) [][]*ScaleRange {
	return rowsOf(g, func(l *Layer) []ScaleRange { return shortScale(l.Scale, f.Ranges) })
}

// shortScale is a scale with at most n ranges on each side of the good one.
func shortScale(scale []ScaleRange, n int) []ScaleRange {
	good := slices.IndexFunc(scale, func(r ScaleRange) bool { return r.Do == "leave" })
	if good < 0 {
		return scale
	}
	last := len(scale) - 1
	if good-n > 1 {
		_, most, _ := strings.Cut(scale[good-n].Width, " to ")
		scale = append([]ScaleRange{{Width: "over " + most, Do: scale[0].Do}}, scale[good-n:]...)
		good, last = n+1, len(scale)-1
	}
	if good+n < last-1 {
		least, _, _ := strings.Cut(scale[good+n].Width, " to ")
		scale = append(slices.Clone(scale[:good+n+1]), ScaleRange{Width: "under " + least, Do: scale[last].Do})
	}
	return scale
}

// Scraps reports whether a well has a scrap strip.
func (p *Page) Scraps() bool {
	return slices.ContainsFunc(p.Wells, func(w Well) bool { return w.Scrap != nil })
}
