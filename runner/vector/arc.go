package vector

import "math"

// Arc visits the directions between a and b, clockwise by less than half a turn,
// of the points that cut the arc between them into chords: each spans an angle
// of which the half has a cosine of at least straight.
func Arc(a, b XY, straight float64, visit func(XY)) {
	// Half the angle between a and b has the cosine sqrt((1+a·b)/2).
	if math.Sqrt(max(0, (1+a.Dot(b))/2)) >= straight {
		return
	}
	// The direction halfway between them: their sum, or, if they are nearly
	// opposite, a right angle to their difference.
	middle := a.Plus(b)
	if a.Dot(b) < 0 {
		middle = XY{a.Y - b.Y, b.X - a.X}
	}
	m := middle.Unit()
	Arc(a, m, straight, visit)
	visit(m)
	Arc(m, b, straight, visit)
}

// Unit is the direction p with the length 1, or nearly so.
func (p XY) Unit() XY {
	d := math.Sqrt(p.Dot(p))
	return XY{p.X / d, p.Y / d}
}
