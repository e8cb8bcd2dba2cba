package plane

// Box is a rectangle with its sides along the axes, edges included.
type Box struct{ Min, Max Point }

// Empty is the box of no points; it overlaps no other.
func Empty() Box { return Box{Min: Point{1<<31 - 1, 1<<31 - 1}, Max: Point{-1 << 31, -1 << 31}} }

// Bounds is the smallest box around the points.
func Bounds(points []Point) Box {
	b := Empty()
	for _, p := range points {
		b.Add(p)
	}
	return b
}

// Around is the box that reaches the given number of grid steps to every side of a point.
func Around(p Point, reach int32) Box {
	return Box{Point{p.X - reach, p.Y - reach}, Point{p.X + reach, p.Y + reach}}
}

// Add grows the box so that it holds a point.
func (b *Box) Add(p Point) {
	b.Min.X, b.Min.Y = min(b.Min.X, p.X), min(b.Min.Y, p.Y)
	b.Max.X, b.Max.Y = max(b.Max.X, p.X), max(b.Max.Y, p.Y)
}

// Union is the smallest box around two.
func (b Box) Union(c Box) Box {
	return Box{
		Min: Point{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)},
		Max: Point{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)},
	}
}

// Overlaps reports whether two boxes have a point in common.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Holds reports whether a box lies within b.
func (b Box) Holds(c Box) bool {
	return c.Min.X >= b.Min.X && c.Min.Y >= b.Min.Y && c.Max.X <= b.Max.X && c.Max.Y <= b.Max.Y
}

// Has reports whether a point lies within b.
func (b Box) Has(p Point) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}
