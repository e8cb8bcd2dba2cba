package proof

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
)

// Look says how a picture of a path is drawn.
type Look struct {
	Brush *Brush // nil: thin lines in the place of marks
	// TipX, TipY is where the mark comes less where the program sends the
	// machine, mm.
	TipX, TipY float64
	Sheet      Rect   // drawn where it is not empty
	Ink        string // "#rrggbb"; anything else: a dark grey
	Travel     bool   // draws the ways lifted
	Numbers    bool   // writes the number of each stroke at its start
}

// pictureSlack is how far a mark in the picture may lie from the painted one,
// mm.
const pictureSlack = 0.02

// maxNumbers is how many strokes are numbered at most.
const maxNumbers = 600

// disc is a place of the tip with the radius of the mark there, mm.
type disc struct{ x, y, r float64 }

// Picture writes an SVG picture of a path, 1 mm to the unit, as one sees the
// sheet from above: what the text of the program paints, each stroke a path of
// its own with its number and lines as title.
func Picture(w io.Writer, p *Path, l Look) error {
	out := bufio.NewWriter(w)
	d := drawer{out: out, look: l}
	m := Measure(p, Timing{}, l.Brush)
	d.frame(&m)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="%s %s %s %s" width="%smm" height="%smm" font-family="sans-serif">`,
		short(d.box.MinX), short(-d.box.MaxY), short(d.box.MaxX-d.box.MinX), short(d.box.MaxY-d.box.MinY),
		short(d.box.MaxX-d.box.MinX), short(d.box.MaxY-d.box.MinY))
	fmt.Fprintf(out, "\n<title>%s: %s</title>\n", html.EscapeString(p.Name), count(len(m.Strokes), "stroke"))
	if s := l.Sheet; s != (Rect{}) {
		fmt.Fprintf(out, `<rect x="%s" y="%s" width="%s" height="%s" fill="#fffdf8" stroke="#b9b2a3" stroke-width="0.3"/>`+"\n",
			short(s.MinX), short(-s.MaxY), short(s.MaxX-s.MinX), short(s.MaxY-s.MinY))
	}
	if l.Travel {
		d.travel(p)
	}
	d.marks(p, &m)
	if l.Numbers {
		d.numbers(&m)
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

type drawer struct {
	out  *bufio.Writer
	look Look
	box  Rect
	text []byte
}

// frame finds what the picture shows: the sheet, else all marks, else all
// ways, with a little room.
func (d *drawer) frame(m *Measures) {
	d.box = d.look.Sheet
	if d.box == (Rect{}) {
		b := m.Box
		d.box = Rect{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}
	}
	if len(m.Strokes) > 0 {
		marks := m.Marks
		d.box.spread(marks.MinX+d.look.TipX, marks.MinY+d.look.TipY, 0, false)
		d.box.spread(marks.MaxX+d.look.TipX, marks.MaxY+d.look.TipY, 0, false)
	}
	d.box = Rect{d.box.MinX - 2, d.box.MinY - 2, d.box.MaxX + 2, d.box.MaxY + 2}
}

// marks draws the strokes.
func (d *drawer) marks(p *Path, m *Measures) {
	ink := "#34312c"
	if isHex(d.look.Ink) {
		ink = d.look.Ink
	}
	if d.look.Brush == nil {
		fmt.Fprintf(d.out, `<g fill="none" stroke="%s" stroke-width="0.3" stroke-linecap="round" stroke-linejoin="round">`+"\n", ink)
	} else {
		fmt.Fprintf(d.out, `<g fill="%s">`+"\n", ink)
	}
	var chain []disc
	stroke := -1
	flush := func() {
		if len(chain) > 0 {
			s := &m.Strokes[stroke]
			d.stroke(simplify(chain), fmt.Sprintf("stroke %d, lines %d to %d", s.Number, s.FirstLine, s.LastLine))
		}
		chain = chain[:0]
	}
	p.marks(d.look.Brush, true, func(k piece) {
		if k.begins {
			flush()
			stroke = k.stroke
			chain = append(chain, d.at(k.from))
		}
		if d.look.Brush != nil {
			d.look.Brush.bends(-k.from.Z, -k.to.Z, func(share float64) { chain = append(chain, d.at(between(k.from, k.to, share))) })
		}
		if k.to != k.from {
			chain = append(chain, d.at(k.to))
		}
	})
	flush()
	fmt.Fprintln(d.out, "</g>")
}

func (d *drawer) at(p Point) disc {
	c := disc{x: p.X + d.look.TipX, y: p.Y + d.look.TipY}
	if d.look.Brush != nil {
		c.r = d.look.Brush.Width(-p.Z) / 2
	}
	return c
}

// stroke writes one stroke: a line, or the outline of each part between two
// discs, all turning the same way so that together they fill the mark.
func (d *drawer) stroke(chain []disc, title string) {
	d.text = append(d.text[:0], `<path d="`...)
	if d.look.Brush == nil {
		for i, c := range chain {
			d.put("ML"[min(i, 1)], c.x, -c.y)
		}
		if len(chain) == 1 {
			d.put('L', chain[0].x, -chain[0].y)
		}
	} else {
		d.dot(chain[0])
		for i := 1; i < len(chain); i++ {
			d.part(chain[i-1], chain[i])
		}
	}
	d.text = append(d.text, `"><title>`...)
	d.text = append(d.text, title...)
	d.text = append(d.text, "</title></path>\n"...)
	d.out.Write(d.text)
}

// dot is a whole disc.
func (d *drawer) dot(c disc) {
	if c.r < 0.005 {
		return
	}
	d.put('M', c.x-c.r, -c.y)
	d.arc(c.r, false, c.x+c.r, c.y)
	d.arc(c.r, false, c.x-c.r, c.y)
	d.text = append(d.text, 'Z')
}

// part is what lies between two discs, and the discs.
func (d *drawer) part(a, b disc) {
	dx, dy := b.x-a.x, b.y-a.y
	length := root(dx, dy)
	swell := b.r - a.r
	if length <= abs(swell) || length < 0.005 {
		d.dot(b)
		return
	}
	dx, dy = dx/length, dy/length
	cosine := -swell / length
	sine := math.Sqrt(1 - float64(cosine*cosine))
	lx, ly := float64(cosine*dx)-float64(sine*dy), float64(cosine*dy)+float64(sine*dx)
	rx, ry := float64(cosine*dx)+float64(sine*dy), float64(cosine*dy)-float64(sine*dx)
	d.put('M', a.x+float64(a.r*lx), -(a.y + float64(a.r*ly)))
	d.put('L', b.x+float64(b.r*lx), -(b.y + float64(b.r*ly)))
	d.arc(b.r, swell > 0, b.x+float64(b.r*rx), b.y+float64(b.r*ry))
	d.put('L', a.x+float64(a.r*rx), -(a.y + float64(a.r*ry)))
	d.arc(a.r, swell < 0, a.x+float64(a.r*lx), a.y+float64(a.r*ly))
	d.text = append(d.text, 'Z')
}

// arc goes on clockwise, as seen, to (x, y).
func (d *drawer) arc(r float64, large bool, x, y float64) {
	if r < 0.005 {
		d.put('L', x, -y)
		return
	}
	d.text = append(d.text, 'A')
	d.text = appendShort(d.text, r)
	d.text = append(d.text, ' ')
	d.text = appendShort(d.text, r)
	if large {
		d.text = append(d.text, " 0 1 1 "...)
	} else {
		d.text = append(d.text, " 0 0 1 "...)
	}
	d.text = appendShort(d.text, x)
	d.text = append(d.text, ' ')
	d.text = appendShort(d.text, -y)
}

func (d *drawer) put(command byte, x, y float64) {
	d.text = append(d.text, command)
	d.text = appendShort(d.text, x)
	d.text = append(d.text, ' ')
	d.text = appendShort(d.text, y)
}

// travel draws the ways lifted.
func (d *drawer) travel(p *Path) {
	d.text = append(d.text[:0], `<path fill="none" stroke="#7d97a8" stroke-width="0.2" stroke-dasharray="1 1" d="`...)
	last, begun := Point{}, false
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind != Rapid || m.From.X == m.To.X && m.From.Y == m.To.Y {
			continue
		}
		if !begun || m.From.X != last.X || m.From.Y != last.Y {
			d.put('M', m.From.X+d.look.TipX, -m.From.Y-d.look.TipY)
		}
		d.put('L', m.To.X+d.look.TipX, -m.To.Y-d.look.TipY)
		last, begun = m.To, true
	}
	d.text = append(d.text, "\"/>\n"...)
	d.out.Write(d.text)
}

// numbers writes the strokes' numbers at their starts.
func (d *drawer) numbers(m *Measures) {
	fmt.Fprintln(d.out, `<g font-size="2.2" fill="#9c2f1f" stroke="#fffdf8" stroke-width="0.5" paint-order="stroke">`)
	for i, s := range m.Strokes {
		if i == maxNumbers {
			break
		}
		fmt.Fprintf(d.out, `<text x="%s" y="%s">%d</text>`, short(s.From.X+d.look.TipX), short(-s.From.Y-d.look.TipY), s.Number)
	}
	fmt.Fprintln(d.out, "\n</g>")
}

// simplify leaves out discs that lie on the way between others, in place and
// width: from each disc kept it goes on to the farthest within reach that
// keeps all between them within pictureSlack.
func simplify(chain []disc) []disc {
	const reach = 48
	out := []disc{chain[0]}
	for i := 0; i < len(chain)-1; {
		next := i + 1
		for j := i + 2; j < min(len(chain), i+reach); j++ {
			if !straight(chain[i : j+1]) {
				break
			}
			next = j
		}
		out = append(out, chain[next])
		i = next
	}
	return out
}

// straight says whether all discs lie on the way between the first and the
// last.
func straight(chain []disc) bool {
	a, b := chain[0], chain[len(chain)-1]
	dx, dy := b.x-a.x, b.y-a.y
	length2 := float64(dx*dx) + float64(dy*dy)
	for _, c := range chain[1 : len(chain)-1] {
		share := 0.0
		if length2 > 0 {
			share = min(1, max(0, (float64((c.x-a.x)*dx)+float64((c.y-a.y)*dy))/length2))
		}
		off := root(c.x-a.x-float64(share*dx), c.y-a.y-float64(share*dy))
		if off+abs(c.r-a.r-float64(share*(b.r-a.r))) > pictureSlack {
			return false
		}
	}
	return true
}

// short writes a number to a hundredth, without zeros at its end.
func short(v float64) string { return string(appendShort(nil, v)) }

func appendShort(b []byte, v float64) []byte {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // no minus before nothing
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// isHex says whether s is a colour as #rrggbb.
func isHex(s string) bool {
	if len(s) != 7 || s[0] != '#' {
		return false
	}
	for _, c := range s[1:] {
		if !('0' <= c && c <= '9' || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F') {
			return false
		}
	}
	return true
}
