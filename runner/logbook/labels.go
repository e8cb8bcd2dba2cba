package logbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// labels are the numbers of strokes and the letters of remarks on a map, placed
// where they hide little.
type labels struct {
	svg    *svg
	frame  frame
	places *placer
}

// newLabels begins the labels of a map, which keep clear of all its marks.
func newLabels(s *svg, f MapOf) *labels {
	m := &labels{svg: s, frame: f.frame}
	var marks, dots [][2]int
	for i, stroke := range f.Marks {
		cells := m.cells(stroke)
		marks = append(marks, cells...)
		if i >= f.Before && len(cells) > 0 {
			dots = append(dots, cells[0])
		}
	}
	wide, high := int(f.wide*f.scale*100), int(f.high*f.scale*100)
	m.places = newPlacer(wide, high, marks)
	m.places.dots = newSums(wide, high, dots)
	return m
}

// What the place of a number may cost that need not be on the map, in hundredths of
// a millimetre: on the map, and on a detail.
const nearby, onDetail = 200, 800

// numbers writes the numbers of strokes: of the first and the last, of those before
// which the brush is loaded again, and of every so many; then those of others where
// there is room. It returns the strokes that have no number.
func (m *labels) numbers(l *Layer, every, most int) (without []Stroke) {
	var others []int
	picture := l.picture()
	for i, stroke := range picture {
		number := l.Before + i + 1
		class := "number"
		switch {
		case len(stroke.Points) == 0 || !m.frame.holds(stroke.Points[0]):
			continue
		case slices.Contains(l.Reloads, strconv.Itoa(number)):
			class = "number load"
		case number%every != 0 && i != 0 && i != len(picture)-1:
			others = append(others, i)
			continue
		}
		m.label(class, strconv.Itoa(number), stroke.Points[0])
	}
	for _, i := range others {
		if !m.labelFree("number", strconv.Itoa(l.Before+i+1), picture[i].Points[0], most) {
			without = append(without, picture[i])
		}
	}
	return without
}

// holds reports whether a place is in the frame.
func (f frame) holds(p StrokePoint) bool {
	return p.X >= f.x && p.X <= f.x+f.wide && p.Y >= f.y && p.Y <= f.y+f.high
}

// remarks writes the letters of remarks.
func (m *labels) remarks(l *Layer) {
	for _, r := range l.Lettered() {
		for _, at := range r.Places {
			m.label("remark", r.Letter, StrokePoint{X: at.X, Y: at.Y})
		}
	}
}

// printed is a place of the sheet in hundredths of a printed millimetre.
func (m *labels) printed(p StrokePoint) (int, int) {
	f := m.frame
	return int(math.Round((p.X - f.x) * f.scale * 100)), int(math.Round((f.y + f.high - p.Y) * f.scale * 100))
}

// back writes a place as it stands in the picture, in mm of the sheet.
func (m *labels) back(x, y int) (string, string) {
	f := m.frame
	return mm3(f.x + float64(float64(x)/100/f.scale)), mm3(m.svg.height - f.y - f.high + float64(float64(y)/100/f.scale))
}

// cells are places along a mark, close enough for the placer.
func (m *labels) cells(stroke Stroke) [][2]int {
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
func (m *labels) label(class, text string, at StrokePoint) {
	x, y := m.printed(at)
	width := labelDigit*len(text) + 30
	cx, cy := m.places.place(x, y, width, labelHigh)
	m.write(class, text, x, y, cx, cy, width)
}

// labelFree is label, if a place for it costs at most so much.
func (m *labels) labelFree(class, text string, at StrokePoint, most int) bool {
	x, y := m.printed(at)
	width := labelDigit*len(text) + 30
	cx, cy, ok := m.places.placeFree(x, y, width, labelHigh, most)
	if ok {
		m.write(class, text, x, y, cx, cy, width)
	}
	return ok
}

// write writes a label of a place x, y in the middle of cx, cy.
func (m *labels) write(class, text string, x, y, cx, cy, width int) {
	if dx, dy := cx-x, cy-y; dx*dx+dy*dy > (width/2+110)*(width/2+110) {
		fromX, fromY := m.back(x, y)
		toX, toY := m.back(cx, cy)
		m.svg.WriteString(`<path class="lead ` + class + `" d="M` + fromX + " " + fromY + "L" + toX + " " + toY + `"/>`)
	}
	textX, textY := m.back(cx, cy+baseline)
	m.svg.WriteString(`<text class="` + class + `" x="` + textX + `" y="` + textY + `">` + text + `</text>`)
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
