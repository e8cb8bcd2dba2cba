package drawing

// svgPath follows path data and adds its lines and curves to the picture,
// subpath by subpath.
//
// Source: SVG 2, chapter 9, "Paths".
type svgPath struct {
	r *reading
	m *xform
	s svgScan

	at, first  XY   // the current point and the subpath's first, in user units
	handle     XY   // the last control point, for the smooth commands
	last       byte // the last command, as a small letter
	open       bool // a subpath is begun
	end        func(closed bool)
	place, tip int // place of the element
}

func (p *svgPath) to(x, y float64) { p.r.to(p.m.at(x, y, 0)) }

// begin starts a subpath at the current point.
func (p *svgPath) begin() {
	p.r.begin()
	p.to(p.at.X, p.at.Y)
	p.first = p.at
	p.open = true
}

func (p *svgPath) finish(closed bool) {
	if p.open {
		p.open = false
		p.end(closed)
	}
}

// run follows the data up to its end or to what it cannot read. Then it
// answers false, and the scan stands at the fault.
func (p *svgPath) run() bool {
	s := &p.s
	for !s.done() && !p.r.stopped {
		c := s.text[s.pos]
		if p.last == 0 && c|0x20 != 'm' {
			return false
		}
		switch c | 0x20 {
		case 'm', 'l', 'h', 'v', 'c', 's', 'q', 't', 'a', 'z':
		default:
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

// arguments is how many numbers a command takes at a time; flags of arcs are
// read on their own.
var arguments = map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 7}

// command follows one command with all its numbers.
func (p *svgPath) command(c byte, relative bool) bool {
	s := &p.s
	if c == 'z' {
		p.at = p.first
		p.finish(true)
		p.last = 'z'
		return true
	}
	for turn := 0; ; turn++ {
		s.blanks()
		if turn > 0 {
			s.comma()
			if s.pos >= len(s.text) || !startsNumber(s.text[s.pos]) {
				return true
			}
		}
		var v [7]float64
		for i := range arguments[c] {
			if i > 0 {
				s.comma()
			}
			var ok bool
			if c == 'a' && (i == 3 || i == 4) {
				var set bool
				if set, ok = s.flag(); set {
					v[i] = 1
				}
			} else {
				v[i], ok = s.number()
			}
			if !ok {
				return false
			}
		}
		p.draw(c, relative, v)
		if p.r.points+len(p.r.path) > maxPoints {
			p.r.points = maxPoints + 1
			p.r.overBudget(p.place, p.tip)
			return true
		}
		p.last = c
		if c == 'm' {
			c = 'l' // further pairs are lines
		}
	}
}

func startsNumber(c byte) bool { return c-'0' <= 9 || c == '.' || c == '-' || c == '+' }

// draw follows one step of a command.
func (p *svgPath) draw(c byte, relative bool, v [7]float64) {
	var base XY
	if relative {
		base = p.at
	}
	point := func(i int) XY { return XY{X: base.X + v[i], Y: base.Y + v[i+1]} }
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
		p.line(XY{X: base.X + v[0], Y: from.Y})
	case 'v':
		p.line(XY{X: from.X, Y: base.Y + v[0]})
	case 'c':
		p.curve(from, point(0), point(2), point(4))
	case 's':
		p.curve(from, p.mirrored('c', 's'), point(0), point(2))
	case 'q':
		p.quadratic(from, point(0), point(2))
	case 't':
		p.quadratic(from, p.mirrored('q', 't'), point(0))
	case 'a':
		p.arc(from, v[0], v[1], v[2], v[3] == 1, v[4] == 1, point(5))
	}
}

func (p *svgPath) line(to XY) {
	p.to(to.X, to.Y)
	p.at = to
}

// mirrored is the last control point mirrored in the current point, where the
// last command was one of two; else the current point.
func (p *svgPath) mirrored(c1, c2 byte) XY {
	if p.last != c1 && p.last != c2 {
		return p.at
	}
	return XY{X: 2*p.at.X - p.handle.X, Y: 2*p.at.Y - p.handle.Y}
}

func (p *svgPath) curve(a, b, c, d XY) {
	bez := [4]XY{p.m.at(a.X, a.Y, 0), p.m.at(b.X, b.Y, 0), p.m.at(c.X, c.Y, 0), p.m.at(d.X, d.Y, 0)}
	size := 0.0
	for _, q := range bez[1:] {
		size = max(size, q.X-bez[0].X, bez[0].X-q.X, q.Y-bez[0].Y, bez[0].Y-q.Y)
	}
	p.r.cubic(bez, p.r.tolerance(size))
	p.handle, p.at = c, d
}

// quadratic draws the cubic that a quadratic is.
func (p *svgPath) quadratic(a, b, c XY) {
	third := func(p, q XY) XY {
		return XY{X: p.X + float64((q.X-p.X)*(2.0/3)), Y: p.Y + float64((q.Y-p.Y)*(2.0/3))}
	}
	p.curve(a, third(a, b), third(c, b), c)
	p.handle = b
}
