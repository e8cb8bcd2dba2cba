package flatten

import "mahlstick/runner/vector"

// Buffer holds the points of many curves in few allocations. Curves are laid
// down in its free end and kept there: nothing is copied unless one outgrew it.
type Buffer struct{ points []vector.XY }

const bufferPoints = 1 << 13

// Free is the free end of the buffer, to be appended to. What is not kept is
// overwritten by the next curve.
func (b *Buffer) Free() []vector.XY {
	if cap(b.points)-len(b.points) < bufferPoints/16 {
		b.points = make([]vector.XY, 0, bufferPoints)
	}
	return b.points[len(b.points):len(b.points)]
}

// Keep takes points over, which are written no more.
func (b *Buffer) Keep(points []vector.XY) []vector.XY {
	n, start := len(points), len(b.points)
	if inPlace := n > 0 && n <= cap(b.points)-start && &b.points[:start+1][start] == &points[0]; !inPlace {
		if n > cap(b.points)-start {
			b.points, start = make([]vector.XY, 0, max(n, bufferPoints)), 0
		}
		copy(b.points[start:start+n], points)
	}
	b.points = b.points[:start+n]
	return b.points[start : start+n : start+n]
}
