package main

import (
	"fmt"
	"strings"
)

// Colours that show and that do not, in many spellings.
var (
	seen  = []string{"black", "#000", "#000000ff", "rgb(0,0,0)", "rgb(0 0 0 / 100%)", "rgba(0%,0%,0%,1)", "hsl(0,0%,0%)", "currentColor", "#111", "rgb(9, 9, 9)"}
	clear = []string{"none", "transparent", "rgba(0,0,0,0)", "#0000", "#12345600", "rgb(0 0 0 / 0%)", "hsla(0, 0%, 0%, 0)", "url(#missing)", "url(#missing) none"}
	other = []string{"white", "#fff", "rgb(100%,100%,100%)", "url(#grade)", "url(#weave)"}
)

// declaration is a property with its value. Some are for style sheets only.
type declaration struct{ name, value string }

// paint is a colour; one that differs from what is painted is rare.
func paint(w *writer) string {
	switch k := w.IntN(30); {
	case k < 17:
		return seen[w.IntN(len(seen))]
	case k < 29:
		return clear[w.IntN(len(clear))]
	}
	if !strings.Contains(w.defs.String(), `id="grade"`) {
		w.defs.WriteString(`<linearGradient id="grade"><stop stop-color="black"/><stop offset="1" stop-color="black" stop-opacity="0.2"/></linearGradient>
<pattern id="weave" width="9" height="9" patternUnits="userSpaceOnUse"><rect width="4" height="4"/></pattern>
`)
	}
	return other[w.IntN(len(other))]
}

// declarations are random properties of an element.
func (w *writer) declarations() (list []declaration) {
	add := func(n int, name string, values ...string) {
		if w.chance(n) {
			list = append(list, declaration{name, w.pick(values...)})
		}
	}
	if w.chance(3) {
		list = append(list, declaration{"fill", paint(w)})
	}
	if w.chance(2) {
		list = append(list, declaration{"stroke", paint(w)}, declaration{"stroke-linejoin", w.pick("round", "round", "round", "miter", "bevel")},
			declaration{"stroke-linecap", w.pick("round", "round", "round", "butt", "square")}, declaration{"stroke-width", w.pick(w.n(0.5, 6), "2%", "1mm", "0")})
	}
	add(6, "fill-rule", "evenodd", "nonzero")
	add(15, "fill-opacity", "0", "0%", "1")
	add(15, "stroke-opacity", "0", "100%")
	add(25, "opacity", "0", "1", "0%")
	add(15, "visibility", "hidden", "visible", "collapse")
	add(25, "display", "none", "inline")
	add(20, "color", "black", "transparent")
	add(20, "paint-order", "stroke", "markers fill")
	add(30, "stroke-dasharray", "none", "3 2", "0")
	add(40, "mask", "none", "url(#fade)")
	add(40, "filter", "none", "url(#blur)")
	add(40, "marker-end", "none", "url(#arrow)")
	add(40, "mix-blend-mode", "normal", "multiply")
	if w.chance(15) {
		list = append(list, declaration{"clip-path", "url(#" + w.clip() + ")"})
	}
	if w.all {
		add(15, "vector-effect", "none", "non-scaling-stroke")
	}
	return list
}

// clip writes a clip-path.
func (w *writer) clip() string {
	return w.aside("clipPath", w.pick("", "", ` transform="rotate(10)"`), func() {
		w.WriteString(w.pick(
			fmt.Sprintf(`<rect x="%s" y="%s" width="%s" height="%s"/>`, w.n(-10, 50), w.n(-10, 50), w.n(5, 150), w.n(5, 150)),
			`<rect x="-100" y="-100" width="400" height="400"/>`, `<circle cx="50" cy="50" r="30"/>`, ``))
	})
}

// look is how an element looks and where it lies: as attributes, in its style,
// or by a rule of the style sheet.
func (w *writer) look() string {
	var attributes, style strings.Builder
	sheet := map[string]string{}
	for _, d := range w.declarations() {
		important := w.pick("", "", "", " !important", " ! important")
		switch w.IntN(4) {
		case 0, 1:
			fmt.Fprintf(&attributes, ` %s="%s"`, d.name, d.value)
		case 2:
			fmt.Fprintf(&style, "%s: %s%s; ", d.name, d.value, important)
		default:
			sheet[d.name] = d.value + important
		}
	}
	if w.chance(3) {
		fmt.Fprintf(&attributes, ` transform="%s"`, transform(w))
	}
	if w.all {
		moves(w, &attributes, &style)
	}
	if style.Len() > 0 {
		fmt.Fprintf(&attributes, ` style="%s"`, style.String())
	}
	if len(sheet) > 0 {
		attributes.WriteString(rule(w, sheet))
	}
	return attributes.String()
}

// rule writes a rule of the style sheet, and gives the attribute by which it is
// for an element.
func rule(w *writer, sheet map[string]string) string {
	class := w.id()
	body := ""
	for _, name := range []string{"fill", "stroke", "stroke-linejoin", "stroke-linecap", "stroke-width", "fill-rule", "fill-opacity", "stroke-opacity", "opacity", "visibility", "display",
		"color", "paint-order", "stroke-dasharray", "mask", "filter", "marker-end", "mix-blend-mode", "clip-path", "vector-effect"} {
		if v, ok := sheet[name]; ok {
			value, important, _ := strings.Cut(v, " !")
			if important != "" {
				important = " !" + important
			}
			body += fmt.Sprintf("%s:%s%s;", name, value, important)
		}
	}
	before, after := w.pick("", "", "svg ", "svg  g > ", ":root "), ""
	switch k := w.IntN(8); {
	case k == 0 && w.all:
		before, after = "@media print{"+before, "}"
	case k == 1 && w.all:
		before, after = "@media screen, print {"+before, "}"
	}
	fmt.Fprintf(&w.rules, "%s.%s{%s}%s\n", before, class, body, after)
	return fmt.Sprintf(` class="%s"`, class)
}

func transform(w *writer) string {
	return w.pick("translate("+w.n(-20, 20)+")", "translate("+w.n(-20, 20)+","+w.n(-20, 20)+")", "rotate("+w.n(-90, 90)+")", "rotate("+w.n(-90, 90)+" 50 50)",
		"scale("+w.n(0.4, 1.6)+")", "translate(50 50) scale(-1 1)", "scale("+w.n(0.4, 1.6)+" "+w.n(0.4, 1.6)+")", "skewX("+w.n(-30, 30)+")",
		"matrix("+w.n(0.5, 1)+" "+w.n(-0.3, 0.3)+" "+w.n(-0.3, 0.3)+" "+w.n(0.5, 1)+" "+w.n(-9, 9)+" "+w.n(-9, 9)+")", "translate(9 9)rotate(20)")
}

// moves are what only browsers know: transforms in style sheets.
func moves(w *writer, attributes, style *strings.Builder) {
	add := func(n int, name string, values ...string) {
		if w.chance(n) {
			fmt.Fprintf(style, "%s: %s; ", name, w.pick(values...))
		}
	}
	add(10, "transform", "translate(5px, 10%)", "rotate(15deg)", "rotate(0.1turn) scale(0.8)", "skew(10deg, 5deg)", "scaleX(50%)", "none", "translateY(10px) rotate(20grad)")
	add(10, "transform-origin", "50px 50px", "center", "right bottom", "10% 20%", "top")
	add(12, "transform-box", "fill-box", "view-box")
	add(20, "translate", "5px", "10% 5px", "none")
	add(20, "rotate", "10deg", "-0.3rad", "none")
	add(20, "scale", "0.9", "1.2 0.7", "none")
	if w.chance(20) {
		attributes.WriteString(` transform-origin="` + w.pick("50 50", "20%", "center top") + `"`)
	}
	add(30, "x", "20px", "10%")
	add(30, "y", "20px", "10%")
	add(30, "r", "9px", "10%")
	add(30, "rx", "4px", "auto")
	add(30, "cx", "40px", "1cm")
	add(30, "width", "30px", "50%")
	add(40, "d", "path('M10 10h40v20z')", "none")
}
