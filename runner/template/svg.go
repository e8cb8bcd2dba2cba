package template

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// SVG writes the template as SVG 1.1: the page has the size of the sheet in
// mm, and one user unit is one unit of the drawing. Each layer is a group with
// the layer's name as its title; a mark is a filled square. The same template
// gives the same bytes.
//
// Source: SVG 1.1 (Second Edition), 5.4 title, 7.7 viewBox.
func (t *Template) SVG() []byte {
	var b bytes.Buffer
	page := Template{UnitMM: 1} // for lengths in mm
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">
  <title>%s</title>
  <desc>Draw each colour in the group with its name, each stroke as a filled outline.
The squares lay the colours on each other: leave them in their place. They are not painted.</desc>
`, page.number(t.Width), page.number(t.Height), t.number(t.Width), t.number(t.Height), text(t.Title))
	ids := map[string]bool{}
	for _, g := range t.guides() {
		fmt.Fprintf(&b, `  <g id="%s" fill="none" stroke="%s" stroke-width="%s" stroke-linejoin="round">
    <title>%s</title>
    <path d="%s"/>
  </g>
`, id(g.name, ids), guideColour, t.number(hairline), g.name, t.box(g.in, g.in, t.Width-g.in, t.Height-g.in))
	}
	for _, l := range t.Layers {
		fmt.Fprintf(&b, "  <g id=\"%s\" fill=\"%s\">\n    <title>%s</title>\n", id(l.Name, ids), l.colour(), text(l.Name))
		for _, m := range l.Marks {
			half := m.Size / 2
			fmt.Fprintf(&b, "    <path d=\"%s\"/>\n", t.box(m.X-half, m.Y-half, m.X+half, m.Y+half))
		}
		b.WriteString("  </g>\n")
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// hairline (mm) is how wide the sheet's edge and margin are shown.
const hairline = 0.25

// box is the outline of a rectangle of the sheet, given in mm, y upwards.
func (t *Template) box(left, low, right, high float64) string {
	return fmt.Sprintf("M%s %sH%sV%sH%sZ", t.number(left), t.number(t.Height-high), t.number(right), t.number(t.Height-low), t.number(left))
}

// number writes a length given in mm in the drawing's unit, without the noise
// of its last digits.
func (t *Template) number(mm float64) string {
	s := strings.TrimRight(strconv.FormatFloat(t.unit(mm), 'f', 10, 64), "0")
	if s = strings.TrimSuffix(s, "."); s == "-0" {
		return "0"
	}
	return s
}

// text writes a string between tags.
func text(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

// id makes an identifier of a name, unlike those that there are.
func id(name string, taken map[string]bool) string {
	base := strings.Join(strings.FieldsFunc(name, func(c rune) bool {
		return !unicode.IsLetter(c) && !(c >= '0' && c <= '9') && c != '_'
	}), "-")
	if first := strings.IndexFunc(base, unicode.IsLetter); first != 0 {
		base = "layer-" + base
	}
	out := base
	for n := 2; taken[out]; n++ {
		out = fmt.Sprintf("%s-%d", base, n)
	}
	taken[out] = true
	return out
}
