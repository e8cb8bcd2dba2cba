package motion

import (
	"math"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// feedTo is the feed (mm/min) of a painting move. It is the paint feed, along
// the path in space, unless Z would have to move faster than it can: a move of
// length d that falls or rises by z takes Z at feed·z/d. While the brush is
// led out or brought back, Z goes no faster than it is lowered.
func (m *maker) feedTo(from, to Move, turning bool) int32 {
	z := math.Abs(plane.MM(to.Z) - plane.MM(from.Z))
	if z == 0 {
		return m.paint
	}
	fastest := m.machine.ZFeed
	if turning {
		fastest = float64(m.lower)
	}
	return min(m.paint, feed(float64(fastest*distance(from, to))/z))
}

// slowing gathers the slowed places of one gesture into a remark.
type slowing struct {
	kind   stroke.Gesture
	worst  stroke.Point
	feed   int32 // the lowest
	length float64
}

func (s *slowing) add(at stroke.Point, feed int32, length float64) {
	s.length += length
	if s.feed == 0 || feed < s.feed {
		s.worst, s.feed = at, feed
	}
}

func (s *slowing) remark() stroke.Remark {
	return stroke.Remark{
		Reason: stroke.Slowed, Shape: s.kind.Shape, At: plane.Point{X: s.worst.X, Y: s.worst.Y},
		Length: s.length, Width: s.worst.Width, Feed: float64(s.feed), Place: s.kind.Place,
	}
}
