package logbook

import (
	"math"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/runner/vector"
)

// drawStops draws the two stops that meet at the lay corner, outside the sheet.
func drawStops(b *bedPicture) {
	thick, long := float64(b.pad*0.05), float64(0.3*math.Min(b.width, b.height))
	x, y, alongX, alongY := b.x-thick, b.y, b.x, b.y-long
	if b.right {
		x, alongX = b.x, b.x-long
	}
	if b.up {
		y, alongY = b.y-thick, b.y
	}
	bar := func(x, y, w, h float64) {
		b.WriteString(`<rect class="stop" x="` + mm(x) + `" y="` + mm(y) + `" width="` + mm(w) + `" height="` + mm(h) + `"/>`)
	}
	bar(alongX, y, long, thick)
	bar(x, alongY, thick, long)
}

// drawWalk draws the way of the margin walk, as positions of the axes.
func drawWalk(b *bedPicture, walk []vector.XY) {
	if len(walk) == 0 {
		return
	}
	b.WriteString(`<path class="walk" d="`)
	for i, p := range walk {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
		b.WriteString(mm(b.x+p.X) + " " + mm(b.y-p.Y))
	}
	b.WriteString(`"/>`)
}

// drawSizes writes width and height along the two sides away from the lay corner.
func drawSizes(b *bedPicture) {
	off := float64(b.pad * 0.16)
	y, x := -off, b.width+off
	textY, textX := y-off/3, x+float64(b.pad*0.24)
	if b.up {
		y = b.height + off
		textY = y + float64(b.pad*0.24)
	}
	if b.right {
		x = -off
		textX = x - off/3
	}
	line := func(x0, y0, x1, y1 float64) {
		b.WriteString(`<path class="size" d="M` + mm(x0) + " " + mm(y0) + "L" + mm(x1) + " " + mm(y1) + `"/>`)
	}
	line(0, y, b.width, y)
	line(x, 0, x, b.height)
	label := func(transform, x, y, text string) {
		b.WriteString(`<text class="dim" text-anchor="middle" x="` + x + `" y="` + y + `"` + transform + ` font-size="` + mm(b.pad*0.22) + `">` + text + `</text>`)
	}
	label("", mm(b.width/2), mm(textY), format.Page.Number(b.width, 1)+" mm")
	at := mm(textX) + " " + mm(b.height/2)
	label(` transform="rotate(-90 `+at+`)"`, mm(textX), mm(b.height/2), format.Page.Number(b.height, 1)+" mm")
}

// drawGrain draws an arrow with two heads along the fibres, inside the turned
// sheet; width and height are those of the upright one.
func drawGrain(b *bedPicture, s Sheet) {
	if s.Grain == "" {
		return
	}
	long := float64(0.18 * math.Min(s.Width, s.Height))
	x, y := s.Width/2, s.Height/2
	dx, dy := long/2, 0.0
	if s.alongY() {
		dx, dy = dy, dx
	}
	head := float64(long * 0.12)
	b.WriteString(`<path class="grain" d="M` + mm(x-dx) + " " + mm(y-dy) + "L" + mm(x+dx) + " " + mm(y+dy))
	for _, way := range [...]float64{-1, 1} {
		tipX, tipY := x+float64(way*dx), y+float64(way*dy)
		inX, inY := float64(2*way*dx*head)/long, float64(2*way*dy*head)/long
		b.WriteString("M" + mm(tipX-inX-inY) + " " + mm(tipY-inY-inX) + "L" + mm(tipX) + " " + mm(tipY) + "L" + mm(tipX-inX+inY) + " " + mm(tipY-inY+inX))
	}
	b.WriteString(`"/>`)
}

// alongY reports whether the fibres lie along the upright sheet's y.
func (s Sheet) alongY() bool { return (s.Height >= s.Width) == (s.Grain == "long") }

// drawMarkNames writes name and place at each register mark. The text stands
// upright although the sheet is turned.
func drawMarkNames(b *bedPicture, s Sheet) {
	for _, m := range s.Marks {
		x, y := m.X, s.Height-m.Y
		anchor, dx := "start", float64(m.Size*0.8)
		if m.X > s.Width/2 {
			anchor, dx = "end", -dx
		}
		text := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(m.Name) + " " + format.Page.Number(m.X, 1) + ", " + format.Page.Number(m.Y, 1)
		if s.Turned == 0 {
			b.WriteString(`<text class="dim" text-anchor="` + anchor + `" x="` + mm(x+dx) + `" y="` + mm(y+float64(b.pad*0.05)) + `" font-size="` + mm(b.pad*0.2) + `">` + text + `</text>`)
			continue
		}
		at := mm(x) + " " + mm(y)
		anchor, dx = "start", math.Abs(dx)
		if onRight(s, m) {
			anchor, dx = "end", -dx
		}
		b.WriteString(`<g transform="rotate(` + mm(float64(90*s.Turned)) + " " + at + `)"><text class="dim" text-anchor="` + anchor + `" x="` + mm(x+dx) + `" y="` + mm(y+float64(b.pad*0.05)) + `" font-size="` + mm(b.pad*0.2) + `">` + text + `</text></g>`)
	}
}

// onRight reports whether a mark lies in the right half of the turned sheet.
func onRight(s Sheet, m Mark) bool {
	switch s.Turned {
	case 1:
		return s.Height-m.Y > s.Height/2
	case 2:
		return m.X < s.Width/2
	case 3:
		return m.Y > s.Height/2
	}
	return m.X > s.Width/2
}

// lying is the transform that puts the sheet where it was found: in the picture,
// where y runs down. "" for a sheet at its stops.
func lying(b *bedPicture, p *Page) string {
	l := p.Sheet.Lies
	if l == nil {
		return ""
	}
	x := b.x - float64(l.XX*b.x) + float64(l.XY*b.y) + l.X
	y := b.y + float64(l.YX*b.x) - float64(l.YY*b.y) - l.Y
	number := func(v float64) string { return format.Plain.Number(v, 5) }
	return "matrix(" + number(l.XX) + " " + number(-l.YX) + " " + number(-l.XY) + " " + number(l.YY) + " " + number(x) + " " + number(y) + ")"
}

// Lies maps places of the machine's axes where the sheet was laid to where it was
// found, both from the zero of the first layer.
type Lies struct{ XX, XY, YX, YY, X, Y float64 }

// SetUp is the caption of the picture of the bed.
func (p *Page) SetUp() string {
	s := p.Sheet
	text := "The sheet, " + format.Page.Number(s.Width, 1) + " × " + format.Page.Number(s.Height, 1) + " mm upright, with its " + s.Lay.String() + " corner at the stops (thick). "
	if s.Grain != "" {
		text += "The arrow with two heads is the grain. "
	}
	if len(s.Marks) > 0 {
		text += "Numbers at register marks are their x and y on the sheet in mm. "
	}
	if s.Clamps != nil {
		text += "Brown: clamps and tape. "
	}
	if len(p.WalkPath) > 0 {
		minX, minY, maxX, maxY := p.WalkPath[0].X, p.WalkPath[0].Y, p.WalkPath[0].X, p.WalkPath[0].Y
		for _, q := range p.WalkPath {
			minX, minY, maxX, maxY = math.Min(minX, q.X), math.Min(minY, q.Y), math.Max(maxX, q.X), math.Max(maxY, q.Y)
		}
		number := func(v float64) string { return format.Page.Number(v, 1) }
		text += "Dashed: the margin walk, X " + number(minX) + " to " + number(maxX) + ", Y " + number(minY) + " to " + number(maxY) + " mm. "
	}
	text += wellsText(p.Wells)
	if s.Lies != nil {
		text += "The sheet is drawn as its marks were read. "
	}
	return strings.TrimSpace(text)
}
