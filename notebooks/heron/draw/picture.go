package main

import "mahlstick/notebooks/brushwork"

// The four inks, in the order of painting.
const (
	straw  = "straw"
	moss   = "moss"
	slate  = "slate"
	indigo = "indigo"
)

var inks = []string{straw, moss, slate, indigo}

// lightest and widest are the narrowest and the widest marks (mm) that are
// drawn for an ink's brush, a little inside what it was measured to paint.
var (
	lightest = map[string]float64{straw: 0.52, moss: 0.52, slate: 0.34, indigo: 0.33}
	widest   = map[string]float64{straw: 4.15, moss: 4.15, slate: 2.35, indigo: 2.35}
)

// hairline is the narrowest mark of all (mm): rings on the shins.
const hairline = 0.3

// picture collects the strokes as they are drawn.
type picture struct {
	outlines map[string][]outline // by ink, in the order in which they are drawn
	strokes  []*stroke
	count    int // of strokes begun: the seed of the hand
	move     pt  // by which what is being drawn lies off its coordinates
}

// stroke begins a mark through the given points: the hand moves each of them
// a little and lets the width wander.
func (p *picture) stroke(ink, subject string, w profile, line []pt) *stroke {
	p.count++
	seed := p.count
	reach := 0.0
	for i := 1; i < len(line); i++ {
		reach += line[i].Minus(line[i-1]).Length()
	}
	shake := brushwork.Clamp(reach/float64(len(line)-1)/90, 0.01, 0.22)
	moved := make([]pt, len(line))
	for i, q := range line {
		moved[i] = q.Plus(p.move).Plus(xy(brushwork.Hand(seed, 2*i), brushwork.Hand(seed, 2*i+1)).Times(shake))
	}
	return p.along(ink, subject, w, moved)
}

// along is a stroke through the points just as they are.
func (p *picture) along(ink, subject string, w profile, line []pt) *stroke {
	seed := p.count
	c := through(line)
	length := c.length()
	s := &stroke{ink: ink, subject: subject, c: c, to: length, least: lightest[ink]}
	s.wide = func(at float64) float64 {
		return brushwork.Clamp(mul(w.width(at/length), 1+mul(0.05, drift(seed+7000, at/7))), s.least, widest[ink])
	}
	return s
}

// put adds strokes to the picture as they are.
func (p *picture) put(ss ...*stroke) {
	for _, s := range ss {
		s.settle()
		p.strokes = append(p.strokes, s)
		p.add(s.ink, outline{subject: s.subject, as: s.as, joints: s.outline()})
	}
}

func (p *picture) add(ink string, o outline) {
	p.outlines[ink] = append(p.outlines[ink], o)
}

// behind adds a stroke that passes behind the shapes.
func (p *picture) behind(s *stroke, shapes [][]pt) {
	left := []*stroke{s}
	for _, shape := range shapes {
		var pieces []*stroke
		for _, q := range left {
			pieces = append(pieces, lifted(q, shape, 1.5, 10, 6)...)
		}
		left = pieces
	}
	p.put(left...)
}

// brush draws a mark of the bird through the given coordinates.
func (p *picture) brush(ink, subject string, w profile, xy ...float64) {
	p.put(p.stroke(ink, subject, w, brushwork.Points(xy...)))
}

// disc draws a circle of radius r, lying in so many others (0 for none): in
// an odd number of them it is a hole.
func (p *picture) disc(ink, subject string, c pt, r float64, depth int) {
	p.add(ink, outline{subject: subject, joints: []joint{{p: c.Plus(p.move)}}, circle: r, depth: depth})
}

// paint draws the whole picture, from the back to the front.
func paint() *picture {
	p := &picture{outlines: map[string][]outline{}}
	aside := xy(-5, 0)
	bird := moved(silhouette(), aside)
	near, far := moved(leg(nearLeg), aside), moved(leg(farLeg), aside)
	reeds(p, [][]pt{bird, near, far})
	water(p)
	p.move = aside
	sun(p, bird)
	legs(p)
	wing(p)
	body(p)
	neck(p)
	head(p)
	wake(p)
	return p
}
