package entries

import (
	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

const (
	// gridStep (mm) is how far a mark inside another may stick out: points are
	// rounded to the grid.
	gridStep = 0.0001
	// places is at how many places a way beyond the end of a path is compared
	// with the mark there.
	places = 64
)

// beyond is the room inside the mark at the far end of a path, straight on
// beyond the path: a dab has no other.
type beyond struct {
	at     stroke.Point
	dx, dy float64 // direction, of length 1
	radius float64 // of the mark, mm; 0 for no room
	curve  *brush.Curve
}

// beyond returns the room beyond the end of a path; a lap has none.
func (s *Shaper) beyond(path []stroke.Point, closed bool) beyond {
	if closed {
		return beyond{}
	}
	n := len(path)
	b := beyond{at: path[n-1], dx: 1, radius: path[n-1].Width / 2, curve: s.curve}
	for i := n - 2; i >= 0; i-- {
		if d := between(path[i], b.at); d > 0 {
			way := b.at.Plane().XY().Minus(path[i].Plane().XY()).Times(1 / (d * plane.PerMM))
			b.dx, b.dy = way.X, way.Y
			break
		}
	}
	return b
}

// point is the point at a distance (mm) beyond the end.
func (b beyond) point(d float64) stroke.Point {
	d *= plane.PerMM
	return stroke.Point{X: plane.Round(float64(b.at.X) + float64(d*b.dx)), Y: plane.Round(float64(b.at.Y) + float64(d*b.dy))}
}

// holds reports whether all marks lie inside the one at the end while the
// brush moves from there by reach (mm) and its press falls to nothing.
func (b beyond) holds(press, reach float64) bool {
	if b.curve == nil { // a lap
		return false
	}
	for i := 0.0; i <= places; i++ {
		d := float64(reach*i) / places
		if d > 0 && d+withPress(stroke.Point{}, float64(press*(places-i))/places, b.curve).Width/2 > b.radius+gridStep {
			return false
		}
	}
	return true
}
