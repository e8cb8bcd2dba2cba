package proof

// straightDown (mm): a move that goes less far along X and Y goes straight down
// or up. It is one step of a coordinate with three decimals.
const straightDown = 0.001

// plunges finds how far each stroke presses the brush straight down, and how
// steeply the press grows along the way. It follows the path of the axis, not
// of the mark, because the axis bends the hair.
func (m *measuring) plunges() {
	down := 0.0
	m.path.contact(false, func(c segment) {
		s := &m.Strokes[c.stroke]
		press := c.from.Z - c.to.Z // added in this segment
		if c.begins || press < 0 || c.length >= straightDown {
			down = 0
		}
		if c.length < straightDown {
			down += max(press, 0)
			s.Plunge = max(s.Plunge, down)
			return
		}
		s.Steepest = max(s.Steepest, steepness(c))
	})
}
