package logbook

import (
	"html/template"
	"strconv"
)

// defs holds every layer's marks once; all pictures of the page use them.
func defs(p *Page) []byte {
	s := newPicture(p.Sheet.Height, p.Layers)
	s.WriteString(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, l := range p.Layers {
		before := min(l.Before, len(l.Marks))
		s.group("beside-"+strconv.Itoa(l.Number), l.Marks[:before])
		s.group("marks-"+strconv.Itoa(l.Number), l.Marks[before:])
	}
	s.WriteString(`</defs></svg>`)
	return s.Bytes()
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

// Picture is the painting as an SVG file of its own: all sheets of a swatch, side by
// side.
func (p *Page) Picture() []byte {
	s := newPicture(p.Sheet.Height, p.Layers)
	g := gridOf(p)
	w, h := mm(p.Sheet.Width), mm(p.Sheet.Height)
	s.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="` + mm(g.width) + `mm" height="` + mm(g.height) + `mm" viewBox="` + g.viewBox() + `"><title>`)
	template.HTMLEscape(s, []byte(p.Title))
	s.WriteString("</title>\n")
	for sheet := range g.sheets {
		g.open(s, sheet)
		s.WriteString(`<rect width="` + w + `" height="` + h + `" fill="#fffdf7"/>` + "\n")
		for _, l := range p.Layers {
			if g.lies(l, sheet) {
				inked(s, l)
			}
		}
		g.close(s)
	}
	s.WriteString("</svg>\n")
	return s.Bytes()
}

// inked draws the marks of a layer's picture in its ink.
func inked(s *svg, l Layer) {
	s.WriteString(`<g fill="` + string(hexColour(l.Hex)) + `" style="mix-blend-mode:multiply">` + "\n")
	for _, stroke := range l.Marks[min(l.Before, len(l.Marks)):] {
		s.WriteString(`<path d="`)
		s.outline(stroke)
		s.WriteString(`"/>` + "\n")
	}
	s.WriteString("</g>\n")
}

// grid is how the sheets of a swatch lie side by side in one picture; any other
// job has one sheet.
type grid struct {
	sheets, across int
	right, down    float64 // from one sheet to the next, mm
	width, height  float64 // of all
}

// gridOf arranges the sheets of a page, so that the longer side of all is as short as
// possible.
func gridOf(p *Page) grid {
	n := 1
	if p.Swatch != nil {
		n = max(1, p.Swatch.Sheets)
	}
	const gap = 8 // mm
	best := grid{}
	for across := 1; across <= n; across++ {
		g := grid{sheets: n, across: across, right: p.Sheet.Width + gap, down: p.Sheet.Height + gap}
		g.width = float64(g.right*float64(across)) - gap
		g.height = float64(g.down*float64((n+across-1)/across)) - gap
		if across == 1 || max(g.width, g.height) < max(best.width, best.height) {
			best = g
		}
	}
	return best
}

func (g grid) viewBox() string { return "0 0 " + mm(g.width) + " " + mm(g.height) }

// lies reports whether a layer is painted on a sheet, counted from 0.
func (g grid) lies(l Layer, sheet int) bool { return g.sheets == 1 || l.Sheet == sheet+1 }

// open begins a sheet of a grid, counted from 0; close ends it.
func (g grid) open(s *svg, sheet int) {
	if g.sheets > 1 {
		s.WriteString(`<g transform="translate(` + mm(g.right*float64(sheet%g.across)) + ` ` + mm(g.down*float64(sheet/g.across)) + `)">`)
	}
}

func (g grid) close(s *svg) {
	if g.sheets > 1 {
		s.WriteString(`</g>`)
	}
}

// paper draws the sheet, its margin and its register marks.
func (s *svg) paper(sheet Sheet) {
	w, h, m := sheet.Width, sheet.Height, sheet.Margin
	s.WriteString(`<rect class="paper" width="` + mm(w) + `" height="` + mm(h) + `"/>`)
	s.WriteString(`<rect class="margin" x="` + mm(m) + `" y="` + mm(m) + `" width="` + mm(w-2*m) + `" height="` + mm(h-2*m) + `"/>`)
	for _, k := range sheet.Marks {
		s.WriteString(`<rect class="mark" x="` + mm(k.X-k.Size/2) + `" y="` + mm(h-k.Y-k.Size/2) + `" width="` + mm(k.Size) + `" height="` + mm(k.Size) + `"/>`)
	}
}

// use draws a layer's marks, or its check strip and register marks, in its ink.
func (s *svg) use(what string, l Layer) {
	s.WriteString(`<use class="ink" href="#` + what + "-" + strconv.Itoa(l.Number) + `" fill="` + string(hexColour(l.Hex)) + `"/>`)
}

func (s Sheet) viewBox() string {
	return "0 0 " + mm(s.Width) + " " + mm(s.Height)
}

// painting is all layers in their inks, without check strips and register marks;
// of a swatch, all sheets.
func painting(p *Page) template.HTML {
	s := svg{height: p.Sheet.Height}
	g := gridOf(p)
	what := ", all layers"
	class := "sheet"
	if g.sheets > 1 {
		what, class = ", all sheets", "sheet several"
	}
	s.WriteString(`<svg class="` + class + `" viewBox="` + g.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte(p.Title+what))
	s.WriteString(`</title>`)
	for sheet := range g.sheets {
		g.open(&s, sheet)
		s.paper(p.Sheet)
		for _, l := range p.Layers {
			if g.lies(l, sheet) {
				s.use("marks", l)
			}
		}
		g.close(&s)
	}
	s.WriteString(`</svg>`)
	return template.HTML(s.String())
}

// layerPicture is a single layer on the sheet, with the places of its remarks.
func layerPicture(p *Page, l Layer) template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="sheet" viewBox="` + p.Sheet.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte("Layer "+strconv.Itoa(l.Number)+", "+l.Name))
	s.WriteString(`</title>`)
	s.paper(p.Sheet)
	s.use("beside", l)
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
