package svg

import (
	"strings"

	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/vector"
)

// path follows path data and turns each subpath into a track of lines and curves, in
// user units.
//
// Source: SVG 2, chapter 9, "Paths".
type path struct {
	scan  scanner
	track flatten.Track
	parts []part

	at, first vector.XY    // the current point and the subpath's first
	handle    vector.XY    // the last control point, for the smooth commands
	last      byte         // the last command, in lower case
	open      bool         // a subpath has begun
	begun     flatten.Mark // where it begins in the track
}

// part is a subpath.
type part struct {
	from, to flatten.Mark
	closed   bool
}

// maxSteps bounds the lines and curves of one path.
const maxSteps = 8_000_000

// begin starts a subpath at the current point.
func (p *path) begin() {
	p.begun = p.track.End()
	p.track.To(p.at)
	p.first = p.at
	p.open = true
}

func (p *path) finish(closed bool) {
	if p.open {
		p.open = false
		p.parts = append(p.parts, part{p.begun, p.track.End(), closed})
	}
}

// follow follows the data to its end. If it meets something that it cannot read, it
// returns false, with the scanner there.
func (p *path) follow() bool {
	s := &p.scan
	for !s.atEnd() && p.track.Len() <= maxSteps {
		c := s.text[s.pos]
		if p.last == 0 && c|0x20 != 'm' || !isCommand(c|0x20) {
			return false
		}
		s.pos++
		if !p.command(c|0x20, c >= 'a') {
			return false
		}
	}
	p.finish(false)
	return true
}

func isCommand(c byte) bool { return strings.IndexByte("mlhvcsqtaz", c) >= 0 }

// arguments is how many numbers a command takes at a time; flags of arcs are
// read on their own.
var arguments = map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 7}

// command follows one command with all its numbers.
func (p *path) command(c byte, relative bool) bool {
	s := &p.scan
	if c == 'z' {
		if p.last == 'm' { // a line without length
			p.begin()
		}
		p.at = p.first
		p.finish(true)
		p.last = 'z'
		return true
	}
	for turn := 0; p.track.Len() <= maxSteps; turn++ {
		s.skipBlanks()
		if turn > 0 {
			s.skipComma()
			if s.pos >= len(s.text) || !startsNumber(s.text[s.pos]) {
				return true
			}
		}
		v, ok := s.arguments(c)
		if !ok {
			return false
		}
		p.draw(c, relative, v)
		p.last = c
		if c == 'm' {
			c = 'l' // further pairs are lines
		}
	}
	return true
}

// arguments reads the numbers that a command takes at a time.
func (s *scanner) arguments(c byte) (v [7]float64, ok bool) {
	for i := range arguments[c] {
		if i > 0 {
			s.skipComma()
		}
		if c == 'a' && (i == 3 || i == 4) {
			v[i], ok = s.flag()
		} else {
			v[i], ok = s.number()
		}
		if !ok {
			return v, false
		}
	}
	return v, true
}

func startsNumber(c byte) bool { return c-'0' <= 9 || c == '.' || c == '-' || c == '+' }

// draw follows one step of a command.
func (p *path) draw(c byte, relative bool, v [7]float64) {
	var base vector.XY
	if relative {
		base = p.at
	}
	point := func(i int) vector.XY { return vector.XY{X: base.X + v[i], Y: base.Y + v[i+1]} }
	if c == 'm' {
		p.finish(false)
		p.at = point(0)
		p.first = p.at
		return
	}
	if !p.open {
		p.begin()
	}
	from := p.at
	switch c {
	case 'l':
		p.line(point(0))
	case 'h':
		p.line(vector.XY{X: base.X + v[0], Y: from.Y})
	case 'v':
		p.line(vector.XY{X: from.X, Y: base.Y + v[0]})
	case 'c':
		p.curve(point(0), point(2), point(4))
	case 's':
		p.curve(p.mirrored('c', 's'), point(0), point(2))
	case 'q':
		p.quadratic(from, point(0), point(2))
	case 't':
		p.quadratic(from, p.mirrored('q', 't'), point(0))
	case 'a':
		p.arc(from, v[0], v[1], v[2], v[3] == 1, v[4] == 1, point(5))
	}
}

func (p *path) line(to vector.XY) {
	p.track.To(to)
	p.at = to
}

// mirrored is the last control point mirrored in the current point if the last command
// was c1 or c2, otherwise the current point.
func (p *path) mirrored(c1, c2 byte) vector.XY {
	if p.last != c1 && p.last != c2 {
		return p.at
	}
	return vector.XY{X: 2*p.at.X - p.handle.X, Y: 2*p.at.Y - p.handle.Y}
}

func (p *path) curve(b, c, d vector.XY) {
	p.track.Cubic(b, c, d)
	p.handle, p.at = c, d
}

// quadratic draws a quadratic curve as the equal cubic.
func (p *path) quadratic(a, b, c vector.XY) {
	third := func(p, q vector.XY) vector.XY {
		return vector.XY{X: p.X + float64((q.X-p.X)*(2.0/3)), Y: p.Y + float64((q.Y-p.Y)*(2.0/3))}
	}
	p.curve(third(a, b), third(c, b), c)
	p.handle = b
}
