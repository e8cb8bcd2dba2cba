package logbook

import (
	"html/template"
	"math"
	"strconv"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/vector"
)

// mm writes a coordinate or length of a picture.
func mm(v float64) string { return format.Plain.Number(v, 2) }

// svg collects a picture. y is turned over, since a page's y runs down.
type svg struct {
	strings.Builder
	height float64
}

func (s *svg) at(x, y float64) {
	s.WriteString(mm(x))
	s.WriteByte(' ')
	s.WriteString(mm(s.height - y))
}

// outline writes the outline of a mark as path data: down its left side,
// round the end, back along its right side, round the start. A mark that
// turns sharply is written in parts that overlap with their round ends.
func (s *svg) outline(stroke Stroke) {
	points := thin(stroke.Points)
	for from := 0; from < len(points); {
		to := from + 1
		for to < len(points)-1 && !sharp(points[to-1], points[to], points[to+1]) {
			to++
		}
		s.part(points[from:min(to+1, len(points))])
		if to >= len(points)-1 {
			return
		}
		from = to
	}
}

// dot is the scalar product, the same on every processor.
func dot(ax, ay, bx, by float64) float64 { return float64(ax*bx) + float64(ay*by) }

// sharp says whether a path turns by more than 20 degrees at b.
func sharp(a, b, c StrokePoint) bool {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	const cos20 = 0.9396926
	return dot(ux, uy, vx, vy) < cos20*math.Sqrt(dot(ux, uy, ux, uy)*dot(vx, vy, vx, vy))
}

// part writes a stretch of a mark without sharp turns.
func (s *svg) part(points []StrokePoint) {
	n := len(points)
	if n == 1 || n == 2 && points[0].X == points[1].X && points[0].Y == points[1].Y {
		s.dot(points[n-1])
		return
	}
	left := make([]StrokePoint, n)
	right := make([]StrokePoint, n)
	for i, p := range points {
		a, b := points[max(i-1, 0)], points[min(i+1, n-1)]
		dx, dy := b.X-a.X, b.Y-a.Y
		length := math.Sqrt(dot(dx, dy, dx, dy))
		if length == 0 {
			length = 1
		}
		nx, ny := float64(-dy/length*p.W/2), float64(dx/length*p.W/2)
		left[i] = StrokePoint{p.X + nx, p.Y + ny, p.W}
		right[i] = StrokePoint{p.X - nx, p.Y - ny, p.W}
	}
	s.WriteByte('M')
	s.at(left[0].X, left[0].Y)
	for _, p := range left[1:] {
		s.WriteByte('L')
		s.at(p.X, p.Y)
	}
	s.cap(points[n-1].W/2, right[n-1])
	for i := n - 2; i >= 0; i-- {
		s.WriteByte('L')
		s.at(right[i].X, right[i].Y)
	}
	s.cap(points[0].W/2, left[0])
	s.WriteByte('Z')
}

// cap is half a round end of radius r to the point p.
func (s *svg) cap(r float64, p StrokePoint) {
	if r < 0.05 {
		s.WriteByte('L')
		s.at(p.X, p.Y)
		return
	}
	s.WriteString("A" + mm(r) + " " + mm(r) + " 0 0 1 ")
	s.at(p.X, p.Y)
}

func (s *svg) dot(p StrokePoint) {
	r := mm(math.Max(p.W/2, 0.05))
	s.WriteByte('M')
	s.at(p.X-p.W/2, p.Y)
	s.WriteString("A" + r + " " + r + " 0 0 1 ")
	s.at(p.X+p.W/2, p.Y)
	s.WriteString("A" + r + " " + r + " 0 0 1 ")
	s.at(p.X-p.W/2, p.Y)
	s.WriteByte('Z')
}

// thin leaves out points that nobody would miss on a page: those within
// 0.03 mm of the line between their neighbours in place and width.
func thin(points []StrokePoint) []StrokePoint {
	if len(points) < 3 {
		return points
	}
	at := func(i int) vector.XYZ { return vector.XYZ{X: points[i].X, Y: points[i].Y, Z: points[i].W} }
	return vector.Simplify(points, 0.03, func(i, from, to int) float64 {
		way, _ := vector.ToSegment3(at(i), at(from), at(to))
		return way.Length()
	})
}

// defs holds every layer's marks once; all pictures of the page use them.
func (p *Page) defs() template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, l := range p.Layers {
		strip := min(len(l.Strip), len(l.Marks))
		s.group("strip-"+strconv.Itoa(l.Number), l.Marks[:strip])
		s.group("marks-"+strconv.Itoa(l.Number), l.Marks[strip:])
	}
	s.WriteString(`</defs></svg>`)
	return template.HTML(s.String())
}

// group writes marks under a name, for pictures to use.
func (s *svg) group(id string, marks []Stroke) {
	s.WriteString(`<g id="` + id + `">`)
	for _, stroke := range marks {
		s.WriteString(`<path d="`)
		s.outline(stroke)
		s.WriteString(`"/>`)
	}
	s.WriteString(`</g>`)
}

// Picture is the painting as an SVG file of its own.
func (p *Page) Picture() []byte {
	s := svg{height: p.Sheet.Height}
	w, h := mm(p.Sheet.Width), mm(p.Sheet.Height)
	s.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="` + w + `mm" height="` + h + `mm" viewBox="` + p.viewBox() + `"><title>`)
	template.HTMLEscape(&s, []byte(p.Title))
	s.WriteString("</title>\n" + `<rect width="` + w + `" height="` + h + `" fill="#fffdf7"/>` + "\n")
	for _, l := range p.Layers {
		s.WriteString(`<g fill="` + string(hexColour(l.Hex)) + `" style="mix-blend-mode:multiply">` + "\n")
		for _, stroke := range l.Marks[min(len(l.Strip), len(l.Marks)):] {
			s.WriteString(`<path d="`)
			s.outline(stroke)
			s.WriteString(`"/>` + "\n")
		}
		s.WriteString("</g>\n")
	}
	s.WriteString("</svg>\n")
	return []byte(s.String())
}

// paper writes the sheet, its margin and its registration marks.
func (s *svg) paper(p *Page) {
	w, h, m := p.Sheet.Width, p.Sheet.Height, p.Sheet.Margin
	s.WriteString(`<rect class="paper" width="` + mm(w) + `" height="` + mm(h) + `"/>`)
	s.WriteString(`<rect class="margin" x="` + mm(m) + `" y="` + mm(m) + `" width="` + mm(w-2*m) + `" height="` + mm(h-2*m) + `"/>`)
	for _, k := range p.Sheet.Marks {
		s.WriteString(`<rect class="mark" x="` + mm(k.X-k.Size/2) + `" y="` + mm(h-k.Y-k.Size/2) + `" width="` + mm(k.Size) + `" height="` + mm(k.Size) + `"/>`)
	}
}

// use writes a layer's marks, or its check strip, in its ink.
func (s *svg) use(what string, l Layer) {
	s.WriteString(`<use class="ink" href="#` + what + "-" + strconv.Itoa(l.Number) + `" fill="` + string(hexColour(l.Hex)) + `"/>`)
}

func (p *Page) viewBox() string {
	return "0 0 " + mm(p.Sheet.Width) + " " + mm(p.Sheet.Height)
}

// painting is all layers in their inks, without the check strips.
func (p *Page) painting() template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="sheet" viewBox="` + p.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte(p.Title+", all layers"))
	s.WriteString(`</title>`)
	s.paper(p)
	for _, l := range p.Layers {
		s.use("marks", l)
	}
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}

// one is a single layer on the sheet, with the places of its remarks.
func (p *Page) one(l Layer) template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="sheet" viewBox="` + p.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte("Layer "+strconv.Itoa(l.Number)+", "+l.Name))
	s.WriteString(`</title>`)
	s.paper(p)
	s.use("strip", l)
	s.use("marks", l)
	for _, g := range l.Remarks {
		if !g.Refused {
			continue
		}
		for _, at := range g.Places {
			s.WriteString(`<circle class="refused" r="3" cx="` + mm(at.X) + `" cy="` + mm(s.height-at.Y) + `"/>`)
		}
	}
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}

// bed is the sheet as it lies on the machine, seen by who stands before it.
func (p *Page) bed() template.HTML {
	w, h := p.Sheet.Width, p.Sheet.Height
	bw, bh := w, h
	if p.Sheet.Turned%2 == 1 {
		bw, bh = h, w
	}
	// The lay corner as the sheet is drawn upright, then turned with it.
	onBed := model.Corner((int(p.Sheet.Lay) + p.Sheet.Turned) % 4)
	right, up := onBed == model.LowerRight || onBed == model.UpperRight, onBed == model.UpperRight || onBed == model.UpperLeft
	pad := float64(0.16 * math.Max(bw, bh))
	s := svg{height: bh}
	s.WriteString(`<svg class="bed" viewBox="` + mm(-pad) + " " + mm(-pad) + " " + mm(bw+2*pad) + " " + mm(bh+2*pad) + `" role="img"><title>The sheet on the bed: lay corner and axes</title>`)
	// What the machine reaches, as far as the picture shows it.
	rx, ry := math.Min(p.Machine.ReachX, bw+float64(0.8*pad)), math.Min(p.Machine.ReachY, bh+float64(0.8*pad))
	x0, y0 := 0.0, 0.0
	if right {
		x0 = bw - rx
	}
	if !up {
		y0 = bh - ry
	}
	s.WriteString(`<rect class="reach" x="` + mm(x0) + `" y="` + mm(y0) + `" width="` + mm(rx) + `" height="` + mm(ry) + `"/>`)
	// The sheet, turned counter-clockwise about the origin and moved back.
	var move string
	switch p.Sheet.Turned {
	case 1:
		move = "translate(0 " + mm(bh) + ") rotate(-90)"
	case 2:
		move = "translate(" + mm(bw) + " " + mm(bh) + ") rotate(180)"
	case 3:
		move = "translate(" + mm(bw) + " 0) rotate(90)"
	}
	s.WriteString(`<g transform="` + move + `">`)
	inner := svg{height: h}
	inner.paper(p)
	for _, l := range p.Layers {
		inner.use("strip", l)
		inner.use("marks", l)
	}
	s.WriteString(inner.String() + `</g>`)
	// Axes from the lay corner.
	ox, oy := 0.0, bh
	if right {
		ox = bw
	}
	if up {
		oy = 0
	}
	arm := float64(0.45 * math.Min(bw, bh))
	labelDown, labelRight := float64(pad*0.24), float64(-pad*0.14)
	if up {
		labelDown = float64(-pad * 0.08)
	}
	if right {
		labelRight = -labelRight
	}
	arrow := func(dx, dy float64, name string) {
		x, y := ox+float64(dx*arm), oy+float64(dy*arm)
		s.WriteString(`<path class="axis" d="M` + mm(ox) + " " + mm(oy) + "L" + mm(x) + " " + mm(y) + `"/>`)
		hx, hy := float64(-dx*arm*0.06), float64(-dy*arm*0.06)
		px, py := float64(dy*arm*0.03), float64(-dx*arm*0.03)
		s.WriteString(`<path class="head" d="M` + mm(x) + " " + mm(y) + "L" + mm(x+hx+px) + " " + mm(y+hy+py) + "L" + mm(x+hx-px) + " " + mm(y+hy-py) + `Z"/>`)
		// The letter stands beside the head, off the sheet.
		tx, ty := x, oy+labelDown
		if dx == 0 {
			tx, ty = ox+labelRight, y
		}
		s.WriteString(`<text text-anchor="middle" x="` + mm(tx) + `" y="` + mm(ty) + `" font-size="` + mm(pad*0.2) + `">` + name + `</text>`)
	}
	// X always grows to the right and Y away from the operator; from a right or
	// an upper lay corner the sheet lies on the negative side.
	sx, sy := 1.0, -1.0
	xname, yname := "X", "Y"
	if right {
		sx, xname = -1, "−X"
	}
	if up {
		sy, yname = 1, "−Y"
	}
	arrow(sx, 0, xname)
	arrow(0, sy, yname)
	s.WriteString(`<circle class="lay" r="` + mm(pad*0.09) + `" cx="` + mm(ox) + `" cy="` + mm(oy) + `"/>`)
	ty := oy + float64(pad*0.55)
	if up {
		ty = oy - float64(pad*0.22)
	}
	anchor := "start"
	if right {
		anchor = "end"
	}
	s.WriteString(`<text class="laytext" text-anchor="` + anchor + `" x="` + mm(ox) + `" y="` + mm(ty) + `" font-size="` + mm(pad*0.2) + `">lay: X0 Y0</text>`)
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}
