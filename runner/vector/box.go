package vector

import "math"

// Box is a rectangle with its sides along the axes.
type Box struct{ Min, Max XY }

// Empty is the box of no points.
func Empty() Box {
	inf := math.Inf(1)
	return Box{XY{inf, inf}, XY{-inf, -inf}}
}

// Bounds is the smallest box around the points.
func Bounds(points []XY) Box {
	b := Empty()
	for _, p := range points {
		b.Add(p)
	}
	return b
}

// Add grows the box so that it holds a point.
func (b *Box) Add(p XY) { b.AddDisc(p, 0) }

// AddDisc grows the box so that it holds a disc.
func (b *Box) AddDisc(p XY, radius float64) {
	b.Min.X, b.Min.Y = min(b.Min.X, p.X-radius), min(b.Min.Y, p.Y-radius)
	b.Max.X, b.Max.Y = max(b.Max.X, p.X+radius), max(b.Max.Y, p.Y+radius)
}

// Union is the smallest box around two.
func (b Box) Union(c Box) Box {
	b.Min.X, b.Min.Y = min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)
	b.Max.X, b.Max.Y = max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)
	return b
}

// Grown is the box with all sides moved outwards.
func (b Box) Grown(by float64) Box {
	return Box{XY{b.Min.X - by, b.Min.Y - by}, XY{b.Max.X + by, b.Max.Y + by}}
}

// Overlaps reports whether two boxes have a point in common.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Holds reports whether a box lies within b.
func (b Box) Holds(c Box) bool {
	return c.Min.X >= b.Min.X && c.Min.Y >= b.Min.Y && c.Max.X <= b.Max.X && c.Max.Y <= b.Max.Y
}
