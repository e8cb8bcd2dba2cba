package proof

// straightDown is the way along X and Y, in mm, below which a move goes straight
// down or up: one step of a coordinate with three decimals.
const straightDown = 0.001

// plunges finds how far each stroke presses the brush straight down, and how
// steeply the press changes along the way. It takes the path of the axis, since
// the axis bends the hair.
func (m *measuring) plunges() {
	down := 0.0
	m.path.contact(false, func(c segment) {
		s := &m.Strokes[c.stroke]
		press := c.from.Z - c.to.Z // what is added to it
		if c.begins || press < 0 || c.length >= straightDown {
			down = 0
		}
		if c.length < straightDown {
			down += max(press, 0)
			s.Plunge = max(s.Plunge, down)
			return
		}
		// Both ends are rounded to a step of a coordinate.
		s.Steepest = max(s.Steepest, (abs(press)-straightDown)/c.length)
	})
}
