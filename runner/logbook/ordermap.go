package logbook

import (
	"fmt"
	"html/template"
	"strconv"
)

// Measures of the card in mm. A side of a card fits on A4 and on letter with a margin
// of 10 mm: 190 x 259 mm.
const (
	sideWide   = 190.0
	sideHigh   = 258.0
	mapGap     = 5.0
	mapAround  = 4.0  // mm of the sheet shown around what is painted
	typeHigh   = 2.9  // mm, of the map's type: 8.2 points
	captionEm  = 2.83 // 8 points, of the caption of a map
	captionRow = 3.25 // a line of it
	captionGap = 2.4  // before it and after it
	digitWide  = 1.65
)

// frame is the part of the sheet that a map shows, in mm, and its scale: printed mm
// for each mm of the sheet, at most 1.
type frame struct{ x, y, wide, high, scale float64 }

// plan is how the maps of a card are laid out.
type plan struct {
	across int
	Maps   []MapOf
}

// Plan lays out the maps in what the text leaves of the back, so that their scales,
// the smallest above all, are as large as possible.
func (s cardSheet) Plan() (plan, error) {
	text, err := backHigh(&s)
	if err != nil {
		return plan{}, err
	}
	var best plan
	most := 0.0
	for across := 1; across <= len(s.Group); across++ {
		p, worth := inRows(&s, across, sideHigh-text, most)
		if worth > most || best.Maps == nil {
			best, most = p, worth
		}
	}
	left := sideHigh - text
	for i := 0; i < len(best.Maps); i += best.across {
		left -= best.Maps[i].tall + best.Maps[i].caption
	}
	spread(best.Maps, best.across, left)
	return best, nil
}

// inRows lays out the maps in rows, of a height in all, and returns the smallest scale
// times the sum of all; if that is not above least, it gives up.
// The captions take what they need, which is known when the maps are as wide as they
// will be.
func inRows(s *cardSheet, across int, high, least float64) (plan, float64) {
	n := len(s.Group)
	down := (n + across - 1) / across
	room := (sideWide - float64(mapGap*float64(across-1))) / float64(across)
	captions := float64(down) * (captionGap + captionRow)
	for {
		p, smallest, sum := plan{across: across}, 1.0, 0.0
		for _, l := range s.Group {
			f := MapOf{Layer: l, frame: frameOf(l, &s.Page.Sheet), sheet: &s.Page.Sheet, room: room, left: tickRoom, low: tickRoom}
			f.scale = min((room-f.left-mapRim)/f.wide, max((high-captions)/float64(down)-f.low-mapRim, 1)/f.high, 1)
			smallest, sum = min(smallest, f.scale), sum+f.scale
			p.Maps = append(p.Maps, f)
		}
		worth := float64(smallest * sum)
		if worth <= least {
			return p, worth
		}
		need := 0.0
		for i := 0; i < n; i += across {
			row := p.Maps[i:min(i+across, n)]
			share(row, max((high-captions)/float64(down), 1))
			for k := range row {
				row[k].tall = 0
				for _, f := range row {
					row[k].tall = max(row[k].tall, printedHigh(f))
				}
			}
			most := 0
			for _, f := range row {
				most = max(most, lines(captionOf(f), f.room, captionEm))
			}
			caption := captionGap + float64(captionRow*float64(most))
			for k := range row {
				row[k].caption = caption
			}
			need += caption
		}
		if need <= captions+1e-9 {
			return p, worth
		}
		captions = need
	}
}

// frameOf is the part of the sheet on which a layer paints.
func frameOf(l *Layer, sheet *Sheet) frame {
	x0, y0, x1, y1 := sheet.Width, sheet.Height, 0.0, 0.0
	for _, stroke := range l.picture() {
		for _, p := range stroke.Points {
			x0, x1 = min(x0, p.X-p.W/2), max(x1, p.X+p.W/2)
			y0, y1 = min(y0, p.Y-p.W/2), max(y1, p.Y+p.W/2)
		}
	}
	if x0 > x1 {
		return frame{wide: sheet.Width, high: sheet.Height}
	}
	x0, y0 = max(0, x0-mapAround), max(0, y0-mapAround)
	return frame{x: x0, y: y0, wide: min(sheet.Width, x1+mapAround) - x0, high: min(sheet.Height, y1+mapAround) - y0}
}

// Room is the width of a map with its details in the style sheet's words, and its share
// of the side in percent.
func (p plan) Room(f MapOf) template.CSS {
	return template.CSS("--room:" + mm(f.room) + "mm;--share:" + mm(100*f.room/sideWide))
}

// captionOf is what stands below a map, as plain makes it.
func captionOf(f MapOf) string {
	text := fmt.Sprintf("%cM %d. %s,%s strokes %d to %d, %s", boldFrom, f.Number, f.Name, plainFrom, f.Before+1, len(f.Marks), f.InScale())
	if every := f.Every(); every != 5 {
		text += fmt.Sprintf(", every %dth numbered", every)
	}
	if legend := f.Legend(); legend != "" {
		text += ". " + legend
	}
	return text
}

// MapOf is a map with its layer.
type MapOf struct {
	*Layer
	frame
	sheet *Sheet
	room  float64 // mm, for its width with its details
	tall  float64 // mm, for its height with them

	caption float64 // mm, for the captions of its row

	left, low float64 // printed mm beside and below it, for its ticks
}

// InScale is the scale of a map in words.
func (f frame) InScale() string {
	if f.scale > 0.95 {
		return "in true size"
	}
	return "scale 1 : " + strconv.FormatFloat(1/f.scale, 'f', 1, 64)
}

// shades is how many shades strokes are drawn in.
const shades = 48

// shadeOf is the shade, from 0, of one of n strokes of a picture.
func shadeOf(i, n int) int { return i * min(shades, n) / max(n, 1) }

// cardDefs are the marks of all layers, each shade a group of its own.
func cardDefs(p *Page) []byte {
	s := newPicture(p.Sheet.Height, p.Layers)
	s.WriteString(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, l := range p.Layers {
		before := min(l.Before, len(l.Marks))
		s.group("beside-"+strconv.Itoa(l.Number), l.Marks[:before])
		s.WriteString(`<g id="marks-` + strconv.Itoa(l.Number) + `">`)
		picture := l.Marks[before:]
		for from := 0; from < len(picture); {
			shade, to := shadeOf(from, len(picture)), from
			for to < len(picture) && shadeOf(to, len(picture)) == shade {
				to++
			}
			s.group(shadeID(l.Number, shade), picture[from:to])
			from = to
		}
		s.WriteString(`</g>`)
	}
	s.WriteString(`</defs></svg>`)
	return s.Bytes()
}

func shadeID(layer, shade int) string { return "m" + strconv.Itoa(layer) + "-" + strconv.Itoa(shade) }

// Lumas of the first and the last stroke, of 255.
const lightest, darkest = 196, 44

// shadeHex is a shade of an ink's hue, from light to dark.
func shadeHex(hex string, shade, of int) string {
	var rgb [3]int
	for i := range rgb {
		v, _ := strconv.ParseUint(string(hexColour(hex))[1+2*i:3+2*i], 16, 8) // hexColour has checked it
		rgb[i] = int(v)
	}
	luma := max(1, (299*rgb[0]+587*rgb[1]+114*rgb[2])/1000)
	want := lightest - (lightest-darkest)*shade/max(1, of-1)
	for i, v := range rgb {
		if luma < want {
			rgb[i] = v + (255-v)*(want-luma)/(255-luma)
		} else {
			rgb[i] = v * want / luma
		}
	}
	return fmt.Sprintf("#%02x%02x%02x", rgb[0], rgb[1], rgb[2])
}

// Map is the strokes of the layer in their order, as a picture; beside it, as far as
// there is room, details of where they are crowded.
func (f MapOf) Map() template.HTML {
	s := &svg{height: f.sheet.Height}
	beginMap(s, f, "")
	labels := newLabels(s, f)
	without := labels.numbers(f.Layer, f.Every(), nearby)
	labels.remarks(f.Layer)
	details, below := detailsOf(f, without)
	labels.frames(details)
	endMap(s, f, "")
	if len(details) > 0 {
		s.WriteString(`<div class="details` + map[bool]string{true: " below"}[below] + `">`)
		for i, d := range details {
			beginMap(s, d, ", detail "+detailNames[i])
			on := newLabels(s, d)
			on.numbers(d.Layer, d.Every(), onDetail)
			endMap(s, d, detailNames[i])
		}
		s.WriteString(`</div>`)
	}
	return template.HTML(s.String())
}

// mapStart begins a map and each of its details.
const mapStart = `<svg class="sheet map"`

// beginMap draws all of a map but its labels.
func beginMap(s *svg, f MapOf, what string) {
	l := f.Layer
	box := func(x, y, wide, high float64) string { return mm(x) + " " + mm(y) + " " + mm(wide) + " " + mm(high) }
	top := s.height - f.y - f.high
	s.WriteString(mapStart + ` viewBox="` + box(f.x-f.left/f.scale, top-mapRim/f.scale, printedWide(f)/f.scale, printedHigh(f)/f.scale) +
		`" role="img" style="--u:` + mm3(1/f.scale) + `px;--wide:` + mm(printedWide(f)) + `mm;--high:` + mm(printedHigh(f)) + `mm;--part:` + mm(100*printedWide(f)/max(f.room, printedWide(f))) + `"><title>`)
	template.HTMLEscape(s, []byte("The order of the strokes of layer "+strconv.Itoa(l.Number)+", "+l.Name+what))
	s.WriteString(`</title><svg x="` + mm(f.x) + `" y="` + mm(top) + `" width="` + mm(f.wide) + `" height="` + mm(f.high) + `" viewBox="` + box(f.x, top, f.wide, f.high) + `">`)
	s.paper(*f.sheet)
	s.WriteString(`<use class="aside" href="#beside-` + strconv.Itoa(l.Number) + `"/>`)
	drawTravel(s, l.picture())
	drawShaded(s, l)
}

// endMap draws the dots, which no label hides, and what is around a map, with the letter
// of a detail.
func endMap(s *svg, f MapOf, name string) {
	drawStarts(s, f.picture())
	s.WriteString(`</svg>`)
	drawEdges(s, f, name)
	s.WriteString(`</svg>`)
}

// picture are the marks of the picture.
func (l *Layer) picture() []Stroke { return l.Marks[min(l.Before, len(l.Marks)):] }

func mm3(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }

// drawTravel draws the ways from stroke to stroke.
func drawTravel(s *svg, strokes []Stroke) {
	s.WriteString(`<path class="travel" d="`)
	for i, stroke := range strokes {
		if len(stroke.Points) == 0 {
			continue
		}
		if i > 0 {
			s.WriteByte('L')
			s.at(stroke.Points[0].at())
		}
		s.WriteByte('M')
		s.at(stroke.Points[len(stroke.Points)-1].at())
	}
	s.WriteString(`"/>`)
}

// drawShaded draws the strokes of a layer from light to dark.
func drawShaded(s *svg, l *Layer) {
	n := len(l.picture())
	for from := 0; from < n; {
		shade := shadeOf(from, n)
		s.WriteString(`<use class="order" href="#` + shadeID(l.Number, shade) + `" fill="` + shadeHex(l.Hex, shade, min(shades, n)) + `"/>`)
		for from < n && shadeOf(from, n) == shade {
			from++
		}
	}
}

// drawStarts draws a dot where each stroke begins.
func drawStarts(s *svg, strokes []Stroke) {
	s.WriteString(`<path class="starts" d="`)
	for _, stroke := range strokes {
		if len(stroke.Points) > 0 {
			s.WriteByte('M')
			s.at(stroke.Points[0].at())
			s.WriteString("h0")
		}
	}
	s.WriteString(`"/>`)
}
