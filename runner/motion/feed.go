package motion

import (
	"math"

	"mahlstick/runner/entries"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// feedTo is the feed (mm/min) of a painting move: the layer's feed along the
// path in space, unless Z would have to move faster than it can. On a move of
// length d that falls or rises by z, Z moves at feed·z/d. While the mark rests
// and the axis moves out or back, Z is no faster than the lowering feed.
func (m *planner) feedTo(from, to Move, markRests bool) int32 {
	z := math.Abs(plane.MM(to.Z) - plane.MM(from.Z))
	if z == 0 {
		return m.paint
	}
	fastest := m.machine.ZFeed
	if markRests {
		fastest = float64(m.lowering)
	}
	return min(m.paint, feed(float64(fastest*distance(from, to))/z))
}

// onWay (mm) is how much the lengths of a path may differ because the mark cuts
// its corners.
const onWay = 0.05

// slowing collects where one gesture is slowed down, for one remark. On its
// concealed ways the feed does not matter: the rest of it paints over them.
type slowing struct {
	gesture stroke.Gesture
	worst   stroke.Point
	feed    int32   // the lowest, mm/min
	length  float64 // mm

	last     stroke.Point
	along    float64 // mm from the beginning of the path to last
	from, to float64 // mm: between the concealed ways
}

func newSlowing(g entries.Shaped) *slowing {
	s := &slowing{gesture: g.Gesture, last: g.Points[0], from: g.In, to: math.Inf(1)}
	if g.Out > 0 {
		s.to = -g.Out
		for i := 1; i < len(g.Points); i++ {
			s.to += planeDistance(g.Points[i-1], g.Points[i])
		}
	}
	return s
}

// reach moves on to the next point of the mark's path.
func (s *slowing) reach(p stroke.Point) {
	s.along += planeDistance(s.last, p)
	s.last = p
}

func (s *slowing) add(at stroke.Point, feed int32, length float64) {
	if s.along <= s.from+onWay || s.along > s.to+onWay {
		return
	}
	s.length += length
	if s.feed == 0 || feed < s.feed {
		s.worst, s.feed = at, feed
	}
}

func (s *slowing) remark() stroke.Remark {
	return stroke.Remark{
		Reason: stroke.Slowed, Shape: s.gesture.Shape, At: plane.Point{X: s.worst.X, Y: s.worst.Y},
		Length: s.length, Width: s.worst.Width, Feed: float64(s.feed), Place: s.gesture.Place,
	}
}
