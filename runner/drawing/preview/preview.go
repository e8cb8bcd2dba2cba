// Package preview draws drawings as they were read, for people to look at.
package preview

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"

	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// Bounds on the loose ends that are marked in a preview, and on those that are
// labelled with their coordinates.
const (
	maxMarked   = 2000
	maxLabelled = 60
)

// Sizes on the page in mm.
const (
	pageWidth  = 180.0
	lineHeight = 5.0
)

// panel is the part of the page that shows one drawing.
type panel struct {
	d         *drawing.Drawing
	low, high vector.XY // mm, of the drawing
	scale     float64   // mm on the page for one mm of the drawing
	top       float64   // mm on the page
	height    float64   // mm on the page
}

func (p *panel) onPage(q vector.XY) vector.XY {
	return vector.XY{
		X: lineHeight + float64((q.X-p.low.X)*p.scale),
		Y: p.top + 3*lineHeight + float64((p.high.Y-q.Y)*p.scale),
	}
}

// Write writes an SVG picture of drawings as they were read, one below the
// other: outlines filled, open lines dark, a circle around every end that joins
// nothing, a square around every point where more than two ends meet, with its
// coordinates in mm, and a diamond where an even number of ends meet and each
// line goes straight on.
func Write(w io.Writer, drawings []*drawing.Drawing) error {
	out := bufio.NewWriter(w)
	panels, height := layOut(drawings)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%smm" height="%smm" font-family="sans-serif" font-size="3">`+"\n",
		number(pageWidth), number(height), number(pageWidth), number(height))
	fmt.Fprintln(out, `<rect width="100%" height="100%" fill="#fffdf8"/>`)
	for i := range panels {
		p := &panels[i]
		p.writeTitle(out)
		for k := range p.d.Contours {
			p.writeContour(out, &p.d.Contours[k])
		}
		p.writeEnds(out)
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

// layOut makes a panel for each drawing that shows anything, and gives the
// height of the page in mm.
func layOut(drawings []*drawing.Drawing) (panels []panel, height float64) {
	for _, d := range drawings {
		low, high, ok := d.Bounds()
		if !ok {
			continue
		}
		scale := (pageWidth - 2*lineHeight) / max(high.X-low.X, high.Y-low.Y, 1)
		p := panel{d: d, low: low, high: high, scale: scale, top: height, height: float64((high.Y-low.Y)*scale) + 6*lineHeight}
		height += p.height
		panels = append(panels, p)
	}
	return panels, max(height, lineHeight)
}

func (p *panel) writeTitle(out io.Writer) {
	fmt.Fprintf(out, `<text x="%s" y="%s" font-size="4">%s</text>`+"\n",
		number(lineHeight), number(p.top+lineHeight), html.EscapeString(p.d.File.Name))
	fmt.Fprintf(out, `<text x="%s" y="%s" fill="#6b665c">%s x %s mm; %s</text>`+"\n", number(lineHeight), number(p.top+2*lineHeight),
		drawing.Short(p.high.X-p.low.X), drawing.Short(p.high.Y-p.low.Y), endsText(p.d))
}

// invisibleStep is a distance (mm on the page) too short to be seen.
const invisibleStep = 0.05

func (p *panel) writeContour(out *bufio.Writer, c *drawing.Contour) {
	out.WriteString(`<path d="`)
	last := vector.XY{X: math.Inf(1)}
	for k, q := range c.Points {
		v := p.onPage(q)
		if k > 0 && k < len(c.Points)-1 && math.Abs(v.X-last.X) < invisibleStep && math.Abs(v.Y-last.Y) < invisibleStep {
			continue
		}
		letter := byte('L')
		if k == 0 {
			letter = 'M'
		}
		fmt.Fprintf(out, "%c%s %s", letter, number(v.X), number(v.Y))
		last = v
	}
	if c.Closed {
		out.WriteString(`Z" fill="#e8e2d2" stroke="#8d877a" stroke-width="0.2" fill-rule="evenodd"/>` + "\n")
	} else {
		out.WriteString(`" fill="none" stroke="#34312c" stroke-width="0.35" stroke-linejoin="round"/>` + "\n")
	}
}

func (p *panel) writeEnds(out io.Writer) {
	for i, e := range p.d.Loose[:min(len(p.d.Loose), maxMarked)] {
		v := p.onPage(e.At)
		if e.Ends > 1 {
			fmt.Fprintf(out, `<rect x="%s" y="%s" width="3" height="3" fill="none" stroke="#2f5a97" stroke-width="0.4"/>`+"\n", number(v.X-1.5), number(v.Y-1.5))
		} else {
			fmt.Fprintf(out, `<circle cx="%s" cy="%s" r="1.5" fill="none" stroke="#a3271a" stroke-width="0.4"/>`+"\n", number(v.X), number(v.Y))
		}
		if i < maxLabelled {
			fmt.Fprintf(out, `<text x="%s" y="%s" font-size="2.2" fill="#a3271a" stroke="#fffdf8" stroke-width="0.5" paint-order="stroke">%s, %s</text>`+"\n",
				number(v.X+2), number(v.Y-1.2), drawing.Short(e.At.X), drawing.Short(e.At.Y))
		}
	}
	for _, e := range p.d.Crossings[:min(len(p.d.Crossings), maxMarked)] {
		v := p.onPage(e.At)
		fmt.Fprintf(out, `<path d="M%s %sl1.5 1.5l-1.5 1.5l-1.5 -1.5Z" fill="none" stroke="#2f5a97" stroke-width="0.4"/>`+"\n", number(v.X), number(v.Y-1.5))
	}
}

// endsText counts loose ends and branches.
func endsText(d *drawing.Drawing) string {
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
		return fmt.Sprintf("%d loose ends (circles) and branches (squares), the first %d shown", d.LooseEnds, min(len(d.Loose), maxMarked))
	}
	return fmt.Sprintf("loose ends (circles): %d, branches (squares): %d", ends, branches)
}

func number(v float64) string { return fmt.Sprintf("%.2f", v) }
