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
