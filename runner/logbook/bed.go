package logbook

import (
	"html/template"
	"math"
	"strings"

	"mahlstick/recipe/model"
)

// bed is the sheet as it lies on the machine, seen by whoever stands in front
// of it: X always grows to the right and Y away from the viewer. From a right
// or an upper lay corner the sheet lies on the negative side.
func bed(p *Page) template.HTML { return drawBed(newBedPicture(p), p) }

func drawBed(b *bedPicture, p *Page) template.HTML {
	b.begin(p.Wells)
	b.reach(p.Wells)
	drawStops(b)
	b.sheet(p)
	drawClamps(b, p.Sheet.Clamps)
	drawWalk(b, p.WalkPath)
	drawWells(b, p.Wells)
	drawSizes(b)
	b.axes()
	drawLay(b)
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// bedPicture is the picture while it is drawn; y runs down.
type bedPicture struct {
	svg
	machine       Machine
	width, height float64 // mm, of the sheet as it lies
	pad           float64 // mm around it
	letter        float64 // mm, the size of the type
	right, up     bool    // the side on which the lay corner is
	x, y          float64 // the lay corner
}

func newBedPicture(p *Page) *bedPicture {
	b := &bedPicture{machine: p.Machine, width: p.Sheet.Width, height: p.Sheet.Height}
	if p.Sheet.Turned%2 == 1 {
		b.width, b.height = b.height, b.width
	}
	// The lay corner is that of the upright sheet; it turns with the sheet.
	corner := model.Corner((int(p.Sheet.Lay) + p.Sheet.Turned) % 4)
	b.right = corner == model.LowerRight || corner == model.UpperRight
	b.up = corner == model.UpperRight || corner == model.UpperLeft
	b.pad = float64(0.16 * math.Max(b.width, b.height))
	b.letter = float64(b.pad * 0.2)
	b.y = b.height
	if b.right {
		b.x = b.width
	}
	if b.up {
		b.y = 0
	}
	return b
}

func (b *bedPicture) begin(wells []Well) {
	left, top, right, bottom := room(b, wells)
	b.WriteString(`<svg class="bed" viewBox="` + mm(left) + " " + mm(top) + " " + mm(right-left) + " " + mm(bottom-top) + `" role="img"><title>The sheet on the bed: lay corner and axes</title>`)
}

// reach draws the machine's reach, as far as it is inside the picture.
func (b *bedPicture) reach(wells []Well) {
	left, top, right, bottom := room(b, wells)
	w, h := right, b.height-top // from the lay corner to the edge of the picture
	if b.right {
		w = b.width - left
	}
	if b.up {
		h = bottom
	}
	edge := float64(0.2 * b.pad)
	w, h = math.Min(b.machine.ReachX, w-edge), math.Min(b.machine.ReachY, h-edge)
	x, y := 0.0, 0.0
	if b.right {
		x = b.width - w
	}
	if !b.up {
		y = b.height - h
	}
	b.WriteString(`<rect class="reach" x="` + mm(x) + `" y="` + mm(y) + `" width="` + mm(w) + `" height="` + mm(h) + `"/>`)
}

// sheet draws the sheet, turned counter-clockwise about the origin and moved
// back.
func (b *bedPicture) sheet(p *Page) {
	var move string
	switch p.Sheet.Turned {
	case 1:
		move = "translate(0 " + mm(b.height) + ") rotate(-90)"
	case 2:
		move = "translate(" + mm(b.width) + " " + mm(b.height) + ") rotate(180)"
	case 3:
		move = "translate(" + mm(b.width) + " 0) rotate(90)"
	}
	if lies := lying(b, p); lies != "" {
		move = strings.TrimSpace(lies + " " + move)
	}
	b.WriteString(`<g transform="` + move + `">`)
	b.paper(p.Sheet)
	drawGrain(b, p.Sheet)
	drawMarkNames(b, p.Sheet)
	for _, l := range p.Layers {
		b.use("beside", l)
		b.use("marks", l)
	}
	b.WriteString(`</g>`)
}

// axes draws two arrows from the lay corner.
func (b *bedPicture) axes() {
	toX, nameX := 1.0, "X"
	if b.right {
		toX, nameX = -1, "−X"
	}
	toY, nameY := -1.0, "Y"
	if b.up {
		toY, nameY = 1, "−Y"
	}
	b.arrow(toX, 0, nameX)
	b.arrow(0, toY, nameY)
}

// arrow draws an arrow along an axis, with the letter of the axis at its head,
// off the sheet.
func (b *bedPicture) arrow(dx, dy float64, name string) {
	arm := float64(0.45 * math.Min(b.width, b.height))
	x, y := b.x+float64(dx*arm), b.y+float64(dy*arm)
	b.WriteString(`<path class="axis" d="M` + mm(b.x) + " " + mm(b.y) + "L" + mm(x) + " " + mm(y) + `"/>`)
	hx, hy := float64(-dx*arm*0.06), float64(-dy*arm*0.06)
	px, py := float64(dy*arm*0.03), float64(-dx*arm*0.03)
	b.WriteString(`<path class="head" d="M` + mm(x) + " " + mm(y) + "L" + mm(x+hx+px) + " " + mm(y+hy+py) + "L" + mm(x+hx-px) + " " + mm(y+hy-py) + `Z"/>`)
	down, aside := float64(b.letter*1.2), float64(-b.letter*0.7)
	if b.up {
		down = float64(-b.letter * 0.4)
	}
	if b.right {
		aside = -aside
	}
	tx, ty := x, b.y+down
	if dx == 0 {
		tx, ty = b.x+aside, y
	}
	b.text("", "middle", tx, ty, name)
}

func drawLay(b *bedPicture) {
	b.WriteString(`<circle class="lay" r="` + mm(b.pad*0.09) + `" cx="` + mm(b.x) + `" cy="` + mm(b.y) + `"/>`)
	y, anchor := b.y+float64(b.letter*2.75), "start"
	if b.up {
		y = b.y - float64(b.letter*1.1)
	}
	if b.right {
		anchor = "end"
	}
	b.text("laytext", anchor, b.x, y, "lay: X0 Y0")
}

func (b *bedPicture) text(class, anchor string, x, y float64, text string) {
	b.WriteString(`<text`)
	if class != "" {
		b.WriteString(` class="` + class + `"`)
	}
	b.WriteString(` text-anchor="` + anchor + `" x="` + mm(x) + `" y="` + mm(y) + `" font-size="` + mm(b.letter) + `">` + text + `</text>`)
}
