package logbook

import (
	"bytes"
	"html"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Measures of the printed card in mm, as card.css states them.
const (
	proseHigh = 3.59  // a line of 8.2 points
	cellHigh  = 3.77  // a line in the table
	em        = 2.893 // 8.2 points
	listIn    = 3.62  // before the items of a list
	titleHigh = 8.4   // a line of the title
	whoWide   = 116.0
	bedWide   = 60.0 // the picture of the bed, and its text
	bedHigh   = 78.0
	bedLow    = 62.0 // its height on a tight card
	notesHigh = 9.6  // a line for notes, and the space before them
)

// spare (mm) is left on the front for a line more than is counted.
const spare = 1.5

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
	{Ranges: 2, Tight: true, Notes: true, Wells: true, All: true},
}

// Fitted is the sheet with the first fit that leaves nothing out of its front.
func (s cardSheet) Fitted() (*cardSheet, error) {
	for _, s.Fit = range fits {
		high, err := frontHigh(&s)
		if err != nil {
			return nil, err
		}
		if high <= sideHigh-spare {
			break
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
	size := 19.0
	if s.Fit.LongTitle(s.Title) {
		size = 12
	}
	head := 4.4 + float64(titleHigh*size/19*float64(lines(s.Title, sideWide, size/8.2*em)))
	if lines(s.Title, sideWide-whoWide, size/8.2*em) > 1 {
		head += 5
	}
	cautions := 6.4 + blocksHigh(between(front, `<div class="cautions">`, `</div>`), sideWide-6.35)
	caption := 1 + float64(proseHigh*float64(lines(plain(between(front, "<figcaption>", "</figcaption>")), bedWide, em)))
	_, _, picture := cardBed(s.Page, s.Fit.Tight)
	said := blocksHigh(between(front, "</figure>", `<div class="scroll"`), sideWide-bedWide-4-listIn)
	high := head + cautions + max(picture+caption, said) + tableHigh(front, len(s.Group), s.Fit.Tight)
	if _, notes, ok := strings.Cut(front, `<div class="notes">`); ok {
		high += notesHigh + blocksHigh(notes, sideWide)
	}
	return high, nil
}

// LongTitle reports whether a tight front has the title in smaller type.
func (f fit) LongTitle(title string) bool {
	return f.Tight && lines(title, sideWide, 19/8.2*em) > 1
}

// backHigh (mm) is how high all that the back says is when it is printed, without the
// maps and their captions.
func backHigh(s *cardSheet) (float64, error) {
	longest := *s
	longest.Framed = framed[len(detailNames)]
	head, err := cardPart(&longest, "backhead")
	if err != nil {
		return 0, err
	}
	rest, err := cardPart(s, "backrest")
	if err != nil {
		return 0, err
	}
	note, err := cardPart(s, "ticknote")
	if err != nil {
		return 0, err
	}
	title, how, _ := strings.Cut(head, "</h2>")
	high := 4.7 + blocksHigh(note, sideWide) + float64(5.3*float64(lines(plain(title), sideWide, 13/8.2*em))) + blocksHigh(how, sideWide)
	before, mishaps, _ := strings.Cut(rest, `<ul class="mishaps">`)
	mishaps, moved, _ := strings.Cut(mishaps, "</ul>")
	readings, what, _ := strings.Cut(before, "<h2>")
	high += readingsHigh(readings) + 7.5 + blocksHigh(what, sideWide) + columnsHigh(mishaps) + 1
	if strings.Contains(moved, `<div class="notes">`) {
		high += notesHigh
	}
	return high + blocksHigh(moved, sideWide) + tableHigh(moved, len(s.Group), true), nil
}

// columnsHigh (mm) is how high a list in two columns is.
func columnsHigh(list string) float64 {
	var items []float64
	sum := 0.0
	for _, item := range blocks.FindAllString(list, -1) {
		items = append(items, blocksHigh(item, (sideWide-mapGap)/2-listIn/2-1.8))
		sum += items[len(items)-1]
	}
	least, left := sum, 0.0
	for _, high := range items {
		left += high
		least = min(least, max(left, sum-left))
	}
	return least
}

// readingsHigh (mm) is how high the places are where readings are written down.
func readingsHigh(text string) float64 {
	high := 0.0
	for _, b := range blocks.FindAllStringSubmatch(text, -1) {
		if !strings.Contains(b[0], `class="places"`) {
			high += 1.2 + float64(proseHigh*float64(lines(plain(b[1]), sideWide, em)))
			continue
		}
		n, used := 1, 0.0
		for _, place := range strings.Split(b[1], "<span>")[1:] {
			wide := max(18, float64(em*ems(plain(place)))+float64(11.3*float64(strings.Count(place, "blank"))))
			if used > 0 && used+wide > sideWide {
				n, used = n+1, 0
			}
			used += wide + 4
		}
		high += 0.9 + float64((proseHigh+1.2)*float64(n)) - 1.2
	}
	return high
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

var bold = strings.NewReplacer("<strong>", string(boldFrom), "</strong>", plainFrom, "<code>", string(codeFrom), "</code>", plainFrom)

// plain is a text without its tags, with signs where its type is another.
func plain(text string) string {
	return html.UnescapeString(marking.ReplaceAllString(bold.Replace(text), ""))
}

// blocksHigh (mm) is how high paragraphs, list items and headings are.
func blocksHigh(text string, wide float64) float64 {
	high := 0.0
	for i, b := range blocks.FindAllStringSubmatch(text, -1) {
		high += 0.3 + float64(proseHigh*float64(lines(plain(b[1]), wide, em)))
		if b[2] == "h2" && i > 0 {
			high += 1.7
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
			text := plain(c[3])
			if strings.Contains(c[2], `class="of"`) {
				text = string(boldFrom) + "X " + text
			}
			switch n := lines(text, first-1.5, em); {
			case strings.Contains(c[2], "rowspan"):
				spanned = max(spanned, high+1.5+float64(cellHigh*float64(n)))
			case c[1] == "th" && !strings.Contains(c[2], "col"):
				most = max(most, n)
			case !one:
				most = max(most, lines(text, wide, em))
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
		high += space + float64(cellHigh*float64(most))
		if !strings.HasPrefix(row[1], "scaling") && !strings.Contains(row[2], "rowspan") && len(row[1]) == 0 {
			high = max(high, spanned)
		}
	}
	return max(high, spanned)
}

// lines is how many lines a text takes.
func lines(text string, wide, em float64) int {
	n, used, wider, even := 1, 0.0, 1.0, false
	for word := range strings.FieldsSeq(text) {
		switch {
		case strings.ContainsRune(word, boldFrom):
			wider = boldly
		case strings.ContainsRune(word, codeFrom):
			even = true
		}
		w := float64(em * wider * ems(word))
		if even {
			w = float64(em * evenly * float64(utf8.RuneCountInString(strings.Trim(word, allSigns))))
		}
		space := 0.28
		switch {
		case strings.ContainsAny(word, plainFrom):
			wider, even = 1, false
		case even:
			space = evenly
		}
		if used > 0 && used+w > wide {
			n, used = n+1, 0
		}
		for ; w > wide; w -= wide - float64(0.9*em) { // broken before a letter
			n++
		}
		used += w + float64(space*em)
	}
	return n
}

// helvetica are the widths of the letters from space to ~ in thousandths of the size
// of the type: Adobe Core 14 font metrics, Helvetica. The faces that the card asks for
// are as wide.
var helvetica = [...]uint16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// How much wider than other type bold type is, about, and how wide each letter of type
// of one width is in the size of the text around it.
const boldly, evenly = 1.08, 0.588

// Signs where such words begin and end.
const boldFrom, codeFrom, plainFrom = '\x0e', '\x10', "\x0f"

// allSigns are all of them.
const allSigns = "\x0e\x10\x0f"

// ems is how wide a word is, in the size of its type.
func ems(word string) float64 {
	w := 0
	for _, r := range word {
		switch {
		case r < ' ':
		case r <= '~':
			w += int(helvetica[r-' '])
		case r < 0x2000:
			w += 722
		default:
			w += 1000
		}
	}
	return float64(w) / 1000
}

// bedType (mm) is the size of the type in the picture of the bed.
const bedType = 2.85

// cardBed is the picture of the bed on the card, and how wide and high it is printed
// in mm. Around the sheet is room for two lines.
func cardBed(p *Page, tight bool) (b *bedPicture, wide, high float64) {
	most := bedHigh
	if tight {
		most = bedLow
	}
	b = newBedPicture(p)
	for range 8 { // more room makes the picture smaller, and its type larger in it
		left, top, right, bottom := room(b, p.Wells)
		wide = min(bedWide, float64(most*(right-left))/(bottom-top))
		high = float64(wide*(bottom-top)) / (right - left)
		b.letter = float64(bedType*(right-left)) / wide
		b.pad = max(b.pad, float64(3.2*b.letter))
	}
	return b, wide, high
}

// Bed is the picture of the bed.
func (f fit) Bed(p *Page) template.HTML {
	b, _, _ := cardBed(p, f.Tight)
	return drawBed(b, p)
}

// BedUnit is a printed millimetre in the picture of the bed, and its width.
func (f fit) BedUnit(p *Page) template.CSS {
	b, wide, _ := cardBed(p, f.Tight)
	return template.CSS("--b:" + mm3(b.letter/bedType) + "px;--bed:" + mm(wide) + "mm")
}

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
