package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// writer writes a random page.
type writer struct {
	*rand.Rand
	strings.Builder
	all   bool // with what only browsers know
	ids   int
	defs  strings.Builder
	rules strings.Builder
}

// page is a random page of 100 x 100 mm. The same number gives the same page.
func page(seed uint64, all bool) []byte {
	w := &writer{Rand: rand.New(rand.NewPCG(seed, 7)), all: all}
	for range 1 + w.IntN(5) {
		w.element(0)
	}
	content := w.String()
	w.Reset()
	fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"%s>`,
		w.pick("", "", ` fill="none"`, ` stroke="black" stroke-linejoin="round" stroke-linecap="round"`))
	fmt.Fprintf(w, "\n<style>\n%s</style>\n<defs>\n%s</defs>\n%s</svg>\n", &w.rules, &w.defs, content)
	return []byte(w.String())
}

func (w *writer) pick(words ...string) string { return words[w.IntN(len(words))] }

// chance is true once in n times.
func (w *writer) chance(n int) bool { return w.IntN(n) == 0 }

// n is a number between two.
func (w *writer) n(low, high float64) string {
	return fmt.Sprintf("%.3g", low+w.Float64()*(high-low))
}

func (w *writer) id() string {
	w.ids++
	return fmt.Sprintf("e%d", w.ids)
}

// element writes a group, a copy or a shape.
func (w *writer) element(depth int) {
	switch k := w.IntN(14); {
	case k < 3 && depth < 4:
		w.group("g", "", depth)
	case k == 3 && depth < 3:
		w.viewport(depth)
	case k == 4 && depth < 3:
		w.copied(depth)
	case k == 5 && depth < 3 && w.all: // librsvg does not cut symbols off as the standard says
		w.symbol(depth)
	default:
		w.shape()
	}
}

func (w *writer) group(kind, attributes string, depth int) {
	fmt.Fprintf(w, "<%s%s%s>\n", kind, attributes, w.look())
	for range 1 + w.IntN(3) {
		w.element(depth + 1)
	}
	fmt.Fprintf(w, "</%s>\n", kind)
}

func box(w *writer) string {
	return fmt.Sprintf(` x="%s" y="%s" width="%s" height="%s"`, w.n(0, 40), w.n(0, 40), w.n(20, 80), w.pick("50%", "3cm", w.n(20, 80)))
}

func view(w *writer) string {
	box := fmt.Sprintf(` viewBox="%s %s %s %s"`, w.n(-20, 10), w.n(-20, 10), w.n(50, 150), w.n(50, 150))
	if !w.all { // librsvg cuts otherwise than the standard says where there is no box, where it is sliced, and where it overflows
		return box + w.pick("", ` preserveAspectRatio="none"`, ` preserveAspectRatio="xMinYMax"`)
	}
	return w.pick("", box) + w.pick("", "", ` preserveAspectRatio="none"`, ` preserveAspectRatio="xMinYMax slice"`) + w.pick("", ` overflow="visible"`, ` overflow="hidden"`)
}

func (w *writer) viewport(depth int) { w.group("svg", box(w)+view(w), depth) }

// aside writes something that is drawn by itself nowhere, and gives its
// identifier.
func (w *writer) aside(kind, attributes string, write func()) string {
	id := w.id()
	before := w.String()
	w.Reset()
	fmt.Fprintf(w, `<%s id="%s"%s>`, kind, id, attributes)
	write()
	fmt.Fprintf(w, "</%s>\n", kind)
	w.defs.WriteString(w.String())
	w.Reset()
	w.WriteString(before)
	return id
}

func (w *writer) copied(depth int) {
	id := w.aside("g", "", func() { w.element(depth + 1) })
	fmt.Fprintf(w, `<use href="#%s" x="%s" y="%s"%s/>`+"\n", id, w.n(-10, 30), w.n(-10, 30), w.look())
}

func (w *writer) symbol(depth int) {
	id := w.aside("symbol", view(w), func() { w.element(depth + 1) })
	fmt.Fprintf(w, `<use href="#%s"%s%s/>`+"\n", id, w.pick("", box(w)), w.look())
}

func (w *writer) shape() {
	shape := ""
	switch w.IntN(7) {
	case 0:
		shape = fmt.Sprintf(`rect x="%s" y="%s" width="%s" height="%s"%s`, w.n(0, 70), w.n(0, 70), w.n(1, 40), w.n(1, 40), w.pick("", ` rx="3"`, ` ry="20%"`, ` rx="5" ry="2"`))
	case 1:
		shape = fmt.Sprintf(`circle cx="%s" cy="%s" r="%s"`, w.n(0, 100), w.n(0, 100), w.pick(w.n(1, 25), "10%", "5mm"))
	case 2:
		shape = fmt.Sprintf(`ellipse cx="%s" cy="%s" rx="%s" ry="%s"`, w.n(0, 100), w.n(0, 100), w.n(1, 25), w.n(1, 25))
	case 3:
		shape = fmt.Sprintf(`line x1="%s" y1="%s" x2="%s" y2="%s"`, w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100))
	case 4:
		shape = fmt.Sprintf(`%s points="%s %s %s %s,%s %s %s,%s"`, w.pick("polygon", "polyline"), w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100), w.n(0, 100))
	default:
		shape = `path d="` + data(w) + `"`
	}
	fmt.Fprintf(w, "<%s%s/>\n", shape, w.look())
}

// data is path data; some of its parts go nowhere.
func data(w *writer) string {
	var b strings.Builder
	for range 1 + w.IntN(2) {
		fmt.Fprintf(&b, "M%s %s", w.n(10, 90), w.n(10, 90))
		for range 1 + w.IntN(4) {
			c := func(n int) string {
				var v []string
				for range n {
					v = append(v, w.n(-30, 30))
				}
				return strings.Join(v, " ")
			}
			b.WriteString(w.pick("l"+c(2), "h"+c(1), "v"+c(1), "L"+w.n(0, 100)+","+w.n(0, 100), "c"+c(6), "s"+c(4), "q"+c(4), "t"+c(2),
				"a"+w.n(5, 30)+" "+w.n(5, 30)+" "+w.n(0, 90)+w.pick(" 0", " 1")+w.pick(" 0 ", " 1 ")+c(2), "h0"))
		}
		b.WriteString(w.pick("", "z"))
	}
	if w.chance(12) {
		return fmt.Sprintf("M%s %s%s", w.n(10, 90), w.n(10, 90), w.pick("z", "h0", "l0 0z"))
	}
	return b.String()
}
