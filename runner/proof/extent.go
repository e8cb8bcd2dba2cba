package proof

// Rect is a rectangle with its sides along the axes, mm.
type Rect struct{ MinX, MinY, MaxX, MaxY float64 }

// Box is the space between two corners.
type Box struct{ Min, Max Point }

// spread enlarges the box to hold the point; the first point sets it.
func (b *Box) spread(p Point, first bool) {
	if first {
		b.Min, b.Max = p, p
		return
	}
	b.Min = Point{min(b.Min.X, p.X), min(b.Min.Y, p.Y), min(b.Min.Z, p.Z)}
	b.Max = Point{max(b.Max.X, p.X), max(b.Max.Y, p.Y), max(b.Max.Z, p.Z)}
}

// spread enlarges the rectangle to hold the square around the point with the
// given half side; the first square sets it.
func (r *Rect) spread(x, y, half float64, first bool) {
	if first {
		*r = Rect{x - half, y - half, x + half, y + half}
		return
	}
	r.MinX, r.MinY = min(r.MinX, x-half), min(r.MinY, y-half)
	r.MaxX, r.MaxY = max(r.MaxX, x+half), max(r.MaxY, y+half)
}

// Extent is the box around a move: its ends and, for an arc, its points farthest
// along each axis.
func (m *Move) Extent() Box {
	var b Box
	b.spread(m.From, true)
	b.spread(m.To, false)
	t := m.Helix
	if t == nil {
		return b
	}
	ca, cb, across := inPlane(t.Plane, t.Centre)
	sa, sb, _ := inPlane(t.Plane, m.From)
	_, _, to := inPlane(t.Plane, m.To)
	radius := max(t.Radius, t.Radius+t.EndsOff)
	for _, d := range [...][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		turn := angleBetween(sa-ca, sb-cb, d[0], d[1])
		if t.Sweep < 0 {
			turn = -turn
		}
		if turn < 0 {
			turn += 2 * pi
		}
		if turn > max(t.Sweep, -t.Sweep) {
			continue
		}
		// The third axis is somewhere between its two ends here.
		b.spread(outOfPlane(t.Plane, ca+float64(radius*d[0]), cb+float64(radius*d[1]), (across+to)/2), false)
	}
	return b
}

// outside is how far the square around a point with the given half side reaches
// out of the rectangle; less than 0 if it does not.
func (r Rect) outside(x, y, half float64) float64 {
	return max(r.MinX-(x-half), x+half-r.MaxX, r.MinY-(y-half), y+half-r.MaxY)
}
