package collect

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// clip is a parallelogram in mm that cuts off what lies outside.
type clip [4]vector.XY

// Where a shape lies as seen from a clip.
type side int8

const (
	inside side = iota
	crossing
	outside
)

// sideOf says where a line of a width (mm) along points lies, seen from a clip.
// A shape around a corner may be called crossing where it is outside.
func (c *clip) sideOf(points []vector.XY, width float64) side {
	turn := 1.0 // the clip's corners run counter-clockwise, or clockwise
	if c[1].Minus(c[0]).Cross(c[2].Minus(c[1])) < 0 {
		turn = -1
	}
	result := inside
	for i := range c {
		along := c[(i+1)%4].Minus(c[i])
		length := along.Length()
		if length == 0 {
			return outside // it shows nothing
		}
		allIn, allOut := true, true
		for _, p := range points {
			d := float64(turn * along.Cross(p.Minus(c[i])) / length) // mm inside this side
			allIn = allIn && d >= width/2-clipSlack
			allOut = allOut && d <= -width/2+clipSlack
		}
		if allOut {
			return outside
		}
		if !allIn {
			result = crossing
		}
	}
	return result
}

// clipSlack is how far (mm) a shape may be beyond a clip that it touches.
const clipSlack = 0.001

// sideOfAll says where the curve that was laid down lies, seen from all clips.
func sideOfAll(clips []clip, points []vector.XY, widths []float64) side {
	width := 0.0
	if len(widths) > 0 {
		width = slices.Max(widths)
	}
	result := inside
	for i := range clips {
		result = max(result, clips[i].sideOf(points, width))
	}
	return result
}

// shows says whether clips leave anything of the curve that was laid down.
func (s *shapes) shows(e *sink.Entity, layer int32, clips []clip) bool {
	switch sideOfAll(clips, s.pen.Points, s.pen.Widths) {
	case outside:
		s.tally.count(e.What, layer, "cut off by the edge of its group", e.At, e.End)
		return false
	case crossing:
		s.notes.warnOnce(problem.ClippedShape, e.At, e.End, problem.Advise("cut the shapes in the drawing program if what is cut off should not be painted"),
			"this %s is cut off by the edge of its group, which is not applied: it is read whole", e.What)
	}
	return true
}
