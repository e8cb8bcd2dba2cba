package region

import (
	"mahlstick/runner/plane"
)

// tidied is what tidy found.
type tidied struct{ repeated, spikes count }

// tidy removes from a ring every point that repeats the one before, every point at
// which the ring runs back over itself, and every point on the straight line between
// its neighbours. At least three points are left, or none. points is not changed.
func tidy(points []plane.Point) ([]plane.Point, tidied) {
	var found tidied
	ring := make([]plane.Point, 0, len(points))
	for _, p := range points {
		if n := len(ring); n > 0 && ring[n-1] == p {
			found.repeated.add(p)
			continue
		}
		ring = found.push(ring, p)
	}
	// The same across the ring's start, until nothing more is removed.
	for len(ring) >= 2 {
		n := len(ring)
		if ring[n-1] == ring[0] {
			found.repeated.add(ring[0])
			ring = ring[:n-1]
		} else if n >= 3 && found.superfluous(ring[n-2], ring[n-1], ring[0]) {
			ring = ring[:n-1]
		} else if n >= 3 && found.superfluous(ring[n-1], ring[0], ring[1]) {
			ring = ring[1:]
		} else {
			break
		}
	}
	if len(ring) < 3 {
		return nil, found
	}
	return ring, found
}

// push adds p to the ring and removes the points that it makes superfluous.
func (found *tidied) push(ring []plane.Point, p plane.Point) []plane.Point {
	for len(ring) >= 2 && found.superfluous(ring[len(ring)-2], ring[len(ring)-1], p) {
		ring = ring[:len(ring)-1]
	}
	if n := len(ring); n > 0 && ring[n-1] == p {
		return ring // a spike back to where it began
	}
	return append(ring, p)
}

// superfluous reports whether b, between a and c, bounds no area: it lies
// straight between them, or the ring turns back there.
func (found *tidied) superfluous(a, b, c plane.Point) bool {
	if plane.Turn(a, b, c) != 0 {
		return false
	}
	forth := (int64(b.X)-int64(a.X))*(int64(c.X)-int64(b.X)) + (int64(b.Y)-int64(a.Y))*(int64(c.Y)-int64(b.Y))
	if forth < 0 {
		found.spikes.add(b)
	}
	return true
}

// segments lists the edges of rings, ring by ring. Edge i ends at point i of its
// ring (in a sweep, it begins there).
func segments(rings [][]plane.Point) []segment {
	n := 0
	for _, ring := range rings {
		n += len(ring)
	}
	out := make([]segment, 0, n)
	for _, ring := range rings {
		last := ring[len(ring)-1]
		for _, p := range ring {
			out = append(out, segment{last, p})
			last = p
		}
	}
	return out
}

// reversed is the ring in the other direction.
func reversed(ring []plane.Point) []plane.Point {
	out := make([]plane.Point, len(ring))
	for i, p := range ring {
		out[len(ring)-1-i] = p
	}
	return out
}
