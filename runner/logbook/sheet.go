package logbook

import (
	"html/template"
	"strconv"
)

// defs holds every layer's marks once; all pictures of the page use them.
func defs(p *Page) template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, l := range p.Layers {
		before := min(l.Before, len(l.Marks))
		s.group("beside-"+strconv.Itoa(l.Number), l.Marks[:before])
		s.group("marks-"+strconv.Itoa(l.Number), l.Marks[before:])
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
	s.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="` + w + `mm" height="` + h + `mm" viewBox="` + p.Sheet.viewBox() + `"><title>`)
	template.HTMLEscape(&s, []byte(p.Title))
	s.WriteString("</title>\n" + `<rect width="` + w + `" height="` + h + `" fill="#fffdf7"/>` + "\n")
	for _, l := range p.Layers {
		if l.Sheet > 1 {
			continue
		}
		s.WriteString(`<g fill="` + string(hexColour(l.Hex)) + `" style="mix-blend-mode:multiply">` + "\n")
		for _, stroke := range l.Marks[min(l.Before, len(l.Marks)):] {
			s.WriteString(`<path d="`)
			s.outline(stroke)
			s.WriteString(`"/>` + "\n")
		}
		s.WriteString("</g>\n")
	}
	s.WriteString("</svg>\n")
	return []byte(s.String())
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
// of a swatch, the first sheet.
func painting(p *Page) template.HTML {
	s := svg{height: p.Sheet.Height}
	s.WriteString(`<svg class="sheet" viewBox="` + p.Sheet.viewBox() + `" role="img"><title>`)
	template.HTMLEscape(&s, []byte(p.Title+", all layers"))
	s.WriteString(`</title>`)
	s.paper(p.Sheet)
	for _, l := range p.Layers {
		if l.Sheet <= 1 {
			s.use("marks", l)
		}
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
