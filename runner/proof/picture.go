package proof

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
)

// PictureOptions say how a picture of a path is drawn.
type PictureOptions struct {
	Brush *Brush // if nil, thin lines are drawn instead of marks
	// TipX, TipY is the position of the mark less that of the machine, mm.
	TipX, TipY float64
	Sheet      Rect   // drawn unless it is empty
	Ink        string // "#rrggbb"; anything else: a dark grey
	Travel     bool   // draw the path of the lifted brush
	Numbers    bool   // write the number of each stroke at its start
}

// pictureSlack is how far a mark in the picture may be from the painted one, mm.
const pictureSlack = 0.02

// maxNumbers is the greatest number of strokes that get a number.
const maxNumbers = 600

// disc is a position of the tip with the radius of the mark there, mm.
type disc struct{ x, y, r float64 }

// Picture writes an SVG picture of a path, in mm, as the sheet looks from above:
// what the program paints, each stroke as a path with its number and lines in
// its title.
func Picture(w io.Writer, p *Path, l PictureOptions) error {
	out := bufio.NewWriter(w)
	d := drawer{out: out, options: l}
	m := Measure(p, Timing{}, l.Brush)
	d.frame(&m)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="%s %s %s %s" width="%smm" height="%smm" font-family="sans-serif">`,
		short(d.box.MinX), short(-d.box.MaxY), short(d.box.MaxX-d.box.MinX), short(d.box.MaxY-d.box.MinY),
		short(d.box.MaxX-d.box.MinX), short(d.box.MaxY-d.box.MinY))
	fmt.Fprintf(out, "\n<title>%s: %s</title>\n", html.EscapeString(p.Name), countText(len(m.Strokes), "stroke"))
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

// drawer writes the parts of a picture.
type drawer struct {
	out     *bufio.Writer
	options PictureOptions
	box     Rect
	path    []byte // the path data of one stroke
}

// frame sets the area that the picture shows: the sheet or else the whole path,
// and all marks, with 2 mm around them.
func (d *drawer) frame(m *Measures) {
	d.box = d.options.Sheet
	if d.box == (Rect{}) {
		b := m.Box
		d.box = Rect{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}
	}
	if len(m.Strokes) > 0 {
		marks := m.Marks
		d.box.spread(marks.MinX+d.options.TipX, marks.MinY+d.options.TipY, 0, false)
		d.box.spread(marks.MaxX+d.options.TipX, marks.MaxY+d.options.TipY, 0, false)
	}
	d.box = Rect{d.box.MinX - 2, d.box.MinY - 2, d.box.MaxX + 2, d.box.MaxY + 2}
}

// marks draws the strokes.
func (d *drawer) marks(p *Path, m *Measures) {
	ink := "#34312c"
	if isHex(d.options.Ink) {
		ink = d.options.Ink
	}
	if d.options.Brush == nil {
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
	p.marks(d.options.Brush, true, func(k segment) {
		if k.begins {
			flush()
			stroke = k.stroke
			chain = append(chain, d.at(k.from, k.feed))
		}
		if d.options.Brush != nil {
			d.options.Brush.bends(-k.from.Z, -k.to.Z, func(share float64) { chain = append(chain, d.at(between(k.from, k.to, share), k.feed)) })
		}
		if k.to != k.from {
			chain = append(chain, d.at(k.to, k.feed))
		}
	})
	flush()
	fmt.Fprintln(d.out, "</g>")
}

// at is the mark at a position of the machine and a feed.
func (d *drawer) at(p Point, feed float64) disc {
	c := disc{x: p.X + d.options.TipX, y: p.Y + d.options.TipY}
	if d.options.Brush != nil {
		c.r = d.options.Brush.at(p.Z, feed) / 2
	}
	return c
}

// stroke writes one stroke: a line, or the outline of each part between two
// discs, all with the same winding so that together they fill the mark.
func (d *drawer) stroke(chain []disc, title string) {
	d.path = append(d.path[:0], `<path d="`...)
	if d.options.Brush == nil {
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
	d.path = append(d.path, `"><title>`...)
	d.path = append(d.path, title...)
	d.path = append(d.path, "</title></path>\n"...)
	d.out.Write(d.path)
}

// dot is a whole disc.
func (d *drawer) dot(c disc) {
	if c.r < 0.005 {
		return
	}
	d.put('M', c.x-c.r, -c.y)
	d.arc(c.r, false, c.x+c.r, c.y)
	d.arc(c.r, false, c.x-c.r, c.y)
	d.path = append(d.path, 'Z')
}

// part is the hull of two discs.
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
	d.path = append(d.path, 'Z')
}

// arc continues clockwise, as seen, to (x, y).
func (d *drawer) arc(r float64, large bool, x, y float64) {
	if r < 0.005 {
		d.put('L', x, -y)
		return
	}
	d.path = append(d.path, 'A')
	d.path = appendShort(d.path, r)
	d.path = append(d.path, ' ')
	d.path = appendShort(d.path, r)
	if large {
		d.path = append(d.path, " 0 1 1 "...)
	} else {
		d.path = append(d.path, " 0 0 1 "...)
	}
	d.path = appendShort(d.path, x)
	d.path = append(d.path, ' ')
	d.path = appendShort(d.path, -y)
}

// put appends a command and a point.
func (d *drawer) put(command byte, x, y float64) {
	d.path = append(d.path, command)
	d.path = appendShort(d.path, x)
	d.path = append(d.path, ' ')
	d.path = appendShort(d.path, y)
}

// travel draws the path of the lifted brush.
func (d *drawer) travel(p *Path) {
	d.path = append(d.path[:0], `<path fill="none" stroke="#7d97a8" stroke-width="0.2" stroke-dasharray="1 1" d="`...)
	last, begun := Point{}, false
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind != Rapid || m.From.X == m.To.X && m.From.Y == m.To.Y {
			continue
		}
		if !begun || m.From.X != last.X || m.From.Y != last.Y {
			d.put('M', m.From.X+d.options.TipX, -m.From.Y-d.options.TipY)
		}
		d.put('L', m.To.X+d.options.TipX, -m.To.Y-d.options.TipY)
		last, begun = m.To, true
	}
	d.path = append(d.path, "\"/>\n"...)
	d.out.Write(d.path)
}

// numbers writes the number of each stroke at its start.
func (d *drawer) numbers(m *Measures) {
	fmt.Fprintln(d.out, `<g font-size="2.2" fill="#9c2f1f" stroke="#fffdf8" stroke-width="0.5" paint-order="stroke">`)
	for i, s := range m.Strokes {
		if i == maxNumbers {
			break
		}
		fmt.Fprintf(d.out, `<text x="%s" y="%s">%d</text>`, short(s.From.X+d.options.TipX), short(-s.From.Y-d.options.TipY), s.Number)
	}
	fmt.Fprintln(d.out, "\n</g>")
}

// simplify drops discs that lie between others, in position and width. From each
// disc kept it goes on to the farthest one, within reach, for which all discs
// in between are within pictureSlack.
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

// straight reports whether all discs lie between the first and the last.
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

// short is a number as text to a hundredth, without trailing zeros.
func short(v float64) string { return string(appendShort(nil, v)) }

// appendShort appends what short returns.
func appendShort(b []byte, v float64) []byte {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // never -0
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// isHex reports whether s is a colour as #rrggbb.
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
