package drawing

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"
)

// mostRings bounds the places that a picture rings, and those that it names.
const (
	mostRings = 2000
	mostNamed = 60
)

// Picture writes an SVG picture of drawings as they were read, one below the
// other: outlines filled, open lines dark, and a ring round every end that joins
// nothing, a square round every point where more than two ends meet, with its
// place in mm, and a lozenge where an even number of ends meet, which were
// followed straight on.
func Picture(w io.Writer, drawings []*Drawing) error {
	out := bufio.NewWriter(w)
	const wide, line = 180.0, 5.0 // mm on the page
	type panel struct {
		d         *Drawing
		low, high XY
		scale, h  float64
	}
	var panels []panel
	high := 0.0
	for _, d := range drawings {
		p := panel{d: d}
		var ok bool
		if p.low, p.high, ok = d.Bounds(); !ok {
			continue
		}
		size := max(p.high.X-p.low.X, p.high.Y-p.low.Y, 1)
		p.scale = (wide - 2*line) / size
		p.h = float64((p.high.Y-p.low.Y)*p.scale) + 6*line
		high += p.h
		panels = append(panels, p)
	}
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%smm" height="%smm" font-family="sans-serif" font-size="3">`+"\n",
		place(wide), place(max(high, line)), place(wide), place(max(high, line)))
	fmt.Fprintln(out, `<rect width="100%" height="100%" fill="#fffdf8"/>`)
	top := 0.0
	for _, p := range panels {
		d := p.d
		at := func(q XY) XY {
			return XY{X: line + float64((q.X-p.low.X)*p.scale), Y: top + 3*line + float64((p.high.Y-q.Y)*p.scale)}
		}
		fmt.Fprintf(out, `<text x="%s" y="%s" font-size="4">%s</text>`+"\n", place(line), place(top+line), html.EscapeString(d.File.Name))
		fmt.Fprintf(out, `<text x="%s" y="%s" fill="#6b665c">%s x %s mm; %s</text>`+"\n", place(line), place(top+2*line),
			short(p.high.X-p.low.X), short(p.high.Y-p.low.Y), d.looseText())
		for i := range d.Contours {
			c := &d.Contours[i]
			out.WriteString(`<path d="`)
			last := XY{X: math.Inf(1), Y: 0}
			for k, q := range c.Points {
				v := at(q)
				if k > 0 && k < len(c.Points)-1 && math.Abs(v.X-last.X) < 0.05 && math.Abs(v.Y-last.Y) < 0.05 {
					continue // nobody sees it
				}
				letter := byte('L')
				if k == 0 {
					letter = 'M'
				}
				fmt.Fprintf(out, "%c%s %s", letter, place(v.X), place(v.Y))
				last = v
			}
			if c.Closed {
				out.WriteString(`Z" fill="#e8e2d2" stroke="#8d877a" stroke-width="0.2" fill-rule="evenodd"/>` + "\n")
			} else {
				out.WriteString(`" fill="none" stroke="#34312c" stroke-width="0.35" stroke-linejoin="round"/>` + "\n")
			}
		}
		for i, e := range d.Loose {
			if i == mostRings {
				break
			}
			v := at(e.At)
			if e.Ends > 1 {
				fmt.Fprintf(out, `<rect x="%s" y="%s" width="3" height="3" fill="none" stroke="#2f5a97" stroke-width="0.4"/>`+"\n", place(v.X-1.5), place(v.Y-1.5))
			} else {
				fmt.Fprintf(out, `<circle cx="%s" cy="%s" r="1.5" fill="none" stroke="#a3271a" stroke-width="0.4"/>`+"\n", place(v.X), place(v.Y))
			}
			if i < mostNamed {
				fmt.Fprintf(out, `<text x="%s" y="%s" font-size="2.2" fill="#a3271a" stroke="#fffdf8" stroke-width="0.5" paint-order="stroke">%s, %s</text>`+"\n",
					place(v.X+2), place(v.Y-1.2), short(e.At.X), short(e.At.Y))
			}
		}
		for _, e := range d.Crossings[:min(len(d.Crossings), mostRings)] {
			v := at(e.At)
			fmt.Fprintf(out, `<path d="M%s %sl1.5 1.5l-1.5 1.5l-1.5 -1.5Z" fill="none" stroke="#2f5a97" stroke-width="0.4"/>`+"\n", place(v.X), place(v.Y-1.5))
		}
		top += p.h
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

// looseText counts dead ends and branches.
func (d *Drawing) looseText() string {
	ends, branches := 0, 0
	for _, e := range d.Loose {
		if e.Ends > 1 {
			branches++
		} else {
			ends++
		}
	}
	switch {
	case d.LooseEnds == 0:
		return "no loose end"
	case d.LooseEnds > len(d.Loose):
		return fmt.Sprintf("%d loose ends (rings) and branches (squares), the first %d shown", d.LooseEnds, min(len(d.Loose), mostRings))
	}
	return fmt.Sprintf("loose ends (rings): %d, branches (squares): %d", ends, branches)
}

// place writes a length of the picture in mm.
func place(v float64) string { return fmt.Sprintf("%.2f", v) }
