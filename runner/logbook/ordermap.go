package logbook

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Measures of the back of the card in mm. A side of a card fits on A4 and on letter
// with a margin of 10 mm: 190 x 259 mm.
const (
	sideWide    = 190.0
	sideHigh    = 258.0
	backText    = 58.0 // for the headings and for what to do after a mishap
	mapText     = 9.5  // for the caption of a map
	mapGap      = 5.0
	mapAround   = 4.0 // mm of the sheet shown around what is painted
	readingHigh = 5.6 // a row of readings
	typeHigh    = 2.9 // mm, of the map's type: 8.2 points
	digitWide   = 1.65
)

// frame is the part of the sheet that a map shows, in mm, and its scale: printed mm
// for each mm of the sheet, at most 1.
type frame struct{ x, y, wide, high, scale float64 }

// plan is how the maps of a card are laid out.
type plan struct {
	across int
	room   float64 // for the width of each, mm
	frames []frame
}

// Plan lays out the maps so that the smallest scale is as large as possible.
func (s cardSheet) Plan() plan {
	high := sideHigh - backText - float64(readingHigh*float64(s.readingRows()))
	n := len(s.Group)
	var best plan
	least := 0.0
	for across := 1; across <= n; across++ {
		down := (n + across - 1) / across
		p := plan{across: across, room: (sideWide - float64(mapGap*float64(across-1))) / float64(across)}
		smallest := 1.0
		for _, l := range s.Group {
			f := frameOf(l, &s.Page.Sheet)
			f.scale = min(p.room/f.wide, (high/float64(down)-mapText)/f.high, 1)
			smallest = min(smallest, f.scale)
			p.frames = append(p.frames, f)
		}
		if smallest > least || best.frames == nil {
			best, least = p, smallest
		}
	}
	return best
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

// Style is the plan in the style sheet's words.
func (p plan) Style() template.CSS {
	return template.CSS(fmt.Sprintf("--across:%d;--room:%smm", p.across, mm(p.room)))
}

// MapOf is a map with its layer.
type MapOf struct {
	*Layer
	frame
	sheet *Sheet
}

// Maps are the maps of the plan.
func (s cardSheet) Maps() []MapOf {
	var out []MapOf
	for i, f := range s.Plan().frames {
		out = append(out, MapOf{s.Group[i], f, &s.Page.Sheet})
	}
	return out
}

// InScale is the scale of a map in words.
func (f frame) InScale() string {
	if f.scale < 1 {
		return "scale 1 : " + strconv.FormatFloat(1/f.scale, 'f', 1, 64)
	}
	return "in true size"
}

// readingRows is how many rows the places need where readings are written down.
func (s cardSheet) readingRows() int {
	n := 0
	if s.Heights != nil && s.Number == 1 {
		n += 2 + (len(s.Heights.Marks)+2)/3
	}
	if marks := s.Marks(); len(marks) > 0 {
		n += 2
		for _, l := range marks {
			n += 1 + len(l.Marking.Marks)/3
		}
	}
	return n
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

// orderMap draws the strokes of a layer in their order.
type orderMap struct {
	svg
	MapOf
	places *placer
}

// Map is the map as a picture.
func (f MapOf) Map() template.HTML {
	m := orderMap{svg: svg{height: f.sheet.Height}, MapOf: f}
	l := f.Layer
	m.WriteString(`<svg class="sheet map" viewBox="` + mm(f.x) + " " + mm(m.svg.height-f.y-f.high) + " " + mm(f.wide) + " " + mm(f.high) +
		`" role="img" style="--u:` + mm3(1/f.scale) + `px;--wide:` + mm(f.scale*f.wide) + `mm;--high:` + mm(f.scale*f.high) + `mm"><title>`)
	template.HTMLEscape(&m, []byte("The order of the strokes of layer "+strconv.Itoa(l.Number)+", "+l.Name))
	m.WriteString(`</title>`)
	m.paper(*f.sheet)
	m.WriteString(`<use class="aside" href="#beside-` + strconv.Itoa(l.Number) + `"/>`)
	m.travel()
	picture := l.picture()
	for from := 0; from < len(picture); {
		shade := shadeOf(from, len(picture))
		m.WriteString(`<use class="order" href="#` + shadeID(l.Number, shade) + `" fill="` + shadeHex(l.Hex, shade, min(shades, len(picture))) + `"/>`)
		for from < len(picture) && shadeOf(from, len(picture)) == shade {
			from++
		}
	}
	m.starts()
	m.labels()
	m.WriteString(`</svg>`)
	return template.HTML(m.String())
}

// picture are the marks of the picture.
func (l *Layer) picture() []Stroke { return l.Marks[min(l.Before, len(l.Marks)):] }

func mm3(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }

// travel draws the ways from stroke to stroke.
func (m *orderMap) travel() {
	m.WriteString(`<path class="travel" d="`)
	for i, stroke := range m.picture() {
		if len(stroke.Points) == 0 {
			continue
		}
		if i > 0 {
			m.WriteByte('L')
			m.at(stroke.Points[0].at())
		}
		m.WriteByte('M')
		m.at(stroke.Points[len(stroke.Points)-1].at())
	}
	m.WriteString(`"/>`)
}

// starts draws a dot where each stroke begins.
func (m *orderMap) starts() {
	m.WriteString(`<path class="starts" d="`)
	for _, stroke := range m.picture() {
		if len(stroke.Points) > 0 {
			m.WriteByte('M')
			m.at(stroke.Points[0].at())
			m.WriteString("h0")
		}
	}
	m.WriteString(`"/>`)
}

// printed is a place of the sheet in hundredths of a printed millimetre.
func (m *orderMap) printed(p StrokePoint) (int, int) {
	return int(math.Round((p.X - m.x) * m.scale * 100)), int(math.Round((m.y + m.high - p.Y) * m.scale * 100))
}

// back writes a place as it stands in the picture, in mm of the sheet.
func (m *orderMap) back(x, y int) (string, string) {
	return mm3(m.x + float64(float64(x)/100/m.scale)), mm3(m.svg.height - m.y - m.high + float64(float64(y)/100/m.scale))
}

// labels writes the numbers of strokes and the letters of remarks where they hide
// little.
func (m *orderMap) labels() {
	var marks [][2]int
	for _, stroke := range m.Marks {
		marks = append(marks, m.cells(stroke)...)
	}
	m.places = newPlacer(int(m.wide*m.scale*100), int(m.high*m.scale*100), marks)
	l := m.Layer
	every := m.Every()
	for i, stroke := range l.picture() {
		number := l.Before + i + 1
		class := "number"
		switch {
		case len(stroke.Points) == 0:
			continue
		case slices.Contains(l.Reloads, strconv.Itoa(number)):
			class = "number load"
		case number%every != 0 && i != 0 && i != len(l.picture())-1:
			continue
		}
		m.label(class, strconv.Itoa(number), stroke.Points[0])
	}
	for _, r := range l.Lettered() {
		for _, at := range r.Places {
			m.label("remark", r.Letter, StrokePoint{X: at.X, Y: at.Y})
		}
	}
}

// cells are places along a mark, close enough for the placer.
func (m *orderMap) cells(stroke Stroke) [][2]int {
	var out [][2]int
	for i, p := range stroke.Points {
		x, y := m.printed(p)
		out = append(out, [2]int{x, y})
		if i == 0 {
			continue
		}
		ox, oy := m.printed(stroke.Points[i-1])
		steps := max(max(x-ox, ox-x), max(y-oy, oy-y)) / inkCell
		for k := 1; k <= steps; k++ {
			out = append(out, [2]int{ox + (x-ox)*k/(steps+1), oy + (y-oy)*k/(steps+1)})
		}
	}
	return out
}

// Sizes of a label in hundredths of a printed millimetre: a digit with what is
// around it, the height of the digits, and from their middle down to their feet.
const labelDigit, labelHigh, baseline = 165, 232, 104

// label writes one label and, if it is not beside its place, a line to it.
func (m *orderMap) label(class, text string, at StrokePoint) {
	x, y := m.printed(at)
	width, height := labelDigit*len(text)+30, labelHigh
	cx, cy := m.places.place(x, y, width, height)
	if dx, dy := cx-x, cy-y; dx*dx+dy*dy > (width/2+110)*(width/2+110) {
		fromX, fromY := m.back(x, y)
		toX, toY := m.back(cx, cy)
		m.WriteString(`<path class="lead ` + class + `" d="M` + fromX + " " + fromY + "L" + toX + " " + toY + `"/>`)
	}
	textX, textY := m.back(cx, cy+baseline)
	m.WriteString(`<text class="` + class + `" x="` + textX + `" y="` + textY + `">` + text + `</text>`)
}

// crowded is the share of a map that numbers may cover.
const crowded = 0.16

// Every is how many strokes there are from one numbered stroke to the next: five,
// or more where so many numbers would hide the map.
func (f MapOf) Every() int {
	n := len(f.picture())
	area := f.wide * f.scale * f.high * f.scale
	label := typeHigh * (digitWide * float64(len(strconv.Itoa(n))))
	for _, every := range []int{5, 10, 20, 50, 100, 200, 500} {
		if float64(label*float64(n/every)) <= crowded*area {
			return every
		}
	}
	return 1000
}

// lettered is a kind of remark with its letter and the places where it stands on
// the map.
type lettered struct {
	Letter string
	RemarkGroup
}

// mostLetters is how many letters stand on a map.
const mostLetters = 12

// Lettered are the remarks of a layer: first what is not painted. What is only
// painted more slowly looks as drawn, and has no letter.
func (l *Layer) Lettered() []lettered {
	var out []lettered
	left := mostLetters
	for _, refused := range [...]bool{true, false} {
		for _, r := range l.Remarks {
			if left > 0 && r.Refused == refused && !r.Fed {
				r.Places = r.Places[:min(len(r.Places), left)]
				left -= len(r.Places)
				out = append(out, lettered{string(rune('A' + len(out))), r})
			}
		}
	}
	return out
}

// Legend says what the letters of a map mean.
func (l *Layer) Legend() string {
	var parts []string
	for _, r := range l.Lettered() {
		text := r.Letter + ": " + r.Reason
		if r.Refused {
			text += ", not painted"
		}
		if r.N > len(r.Places) {
			text += fmt.Sprintf(" (%d of %d places)", len(r.Places), r.N)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}
