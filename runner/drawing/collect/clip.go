package collect

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// clip cuts off what lies outside: of a parallelogram in mm, or of an area.
type clip struct {
	corners [4]vector.XY
	area    *drawing.Clip // as an area; nil where nothing is cut
	any     bool          // the area is no parallelogram
}

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
	if c.any {
		return c.sideOfBox(vector.Bounds(points), width)
	}
	at := &c.corners
	turn := 1.0 // the clip's corners run counter-clockwise, or clockwise
	if at[1].Minus(at[0]).Cross(at[2].Minus(at[1])) < 0 {
		turn = -1
	}
	result := inside
	for i := range at {
		along := at[(i+1)%4].Minus(at[i])
		length := along.Length()
		if length == 0 {
			return outside // it shows nothing
		}
		allIn, allOut := true, true
		for _, p := range points {
			d := float64(turn * along.Cross(p.Minus(at[i])) / length) // mm inside this side
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

// sideOfBox is sideOf for an area of any form: what lies within the box around it
// may cross its edge.
func (c *clip) sideOfBox(b vector.Box, width float64) side {
	a, half := c.area.Bounds(), width/2
	if b.Min.X-half >= a.Max.X || b.Min.Y-half >= a.Max.Y || b.Max.X+half <= a.Min.X || b.Max.Y+half <= a.Min.Y {
		return outside
	}
	return crossing
}

// clipSlack is how far (mm) a shape may be beyond a clip that it touches.
const clipSlack = 0.001

// Clip cuts what the current group holds off at the sides of a parallelogram.
func (s *groupStack) Clip(corners [4]vector.XY) {
	g := s.top()
	var c clip
	for i, p := range corners {
		c.corners[i] = g.m.At(vector.XYZ{X: p.X, Y: p.Y})
	}
	if s.cut {
		c.area = &drawing.Clip{Shapes: []drawing.ClipShape{{Rings: [][]vector.XY{slices.Clone(c.corners[:])}, Rule: contour.NonZero}}}
	}
	g.clips = append(g.clips[:len(g.clips):len(g.clips)], c)
}

// ClipTo cuts what the current group holds off at an area, where the recipe asks
// for cutting.
func (s *groupStack) ClipTo(area []sink.ClipShape) {
	if !s.cut {
		return
	}
	g := s.top()
	c := clip{area: &drawing.Clip{}, any: true}
	for i := range area {
		shape := drawing.ClipShape{Rule: area[i].Rule}
		m := g.m.After(&area[i].Map)
		for _, curve := range area[i].Curves {
			pen := flatten.Pen{Tolerance: s.tolerance, Room: maxPoints}
			if curve.Flatten(&m, &pen); len(pen.Points) > 2 {
				shape.Rings = append(shape.Rings, pen.Points)
			}
		}
		c.area.Shapes = append(c.area.Shapes, shape)
	}
	g.clips = append(g.clips[:len(g.clips):len(g.clips)], c)
}

// sidesOf says where a line of a width (mm) along points lies, seen from all clips,
// and which of them it may cross.
func sidesOf(clips []clip, points []vector.XY, width float64) (result side, crossed []*drawing.Clip) {
	for i := range clips {
		at := clips[i].sideOf(points, width)
		if at == crossing && clips[i].area != nil {
			crossed = append(crossed, clips[i].area)
		}
		result = max(result, at)
	}
	return result, crossed
}

// cutHatch has the outlines of a hatch since a mark cut off at clips. It says whether
// anything of the hatch is left.
func cutHatch(s *shapes, e *sink.Entity, layer int32, clips []clip, before shapesMark) bool {
	outlines := s.contours[before.contours:]
	if len(clips) == 0 || len(outlines) == 0 {
		return true
	}
	cut, gone := false, true
	var crossed []*drawing.Clip
	for i := range outlines {
		at, by := sidesOf(clips, outlines[i].Points, 0)
		cut, gone = cut || at != inside, gone && at == outside
		for _, c := range by {
			if !slices.Contains(crossed, c) {
				crossed = append(crossed, c)
			}
		}
	}
	switch {
	case gone:
		s.rollBack(before)
		s.tally.count(e.What, layer, "cut off by the edge of its group", e.At, e.End)
		return false
	case cut && len(crossed) == 0:
		s.notes.warnOnce(problem.ClippedShape, e.At, e.End, problem.Advise(cutFix),
			"this %s is cut off by the edge of its group, which is not applied: it is read whole", e.What)
	}
	for i := range outlines {
		outlines[i].Clips = crossed
	}
	return true
}

// shows says whether clips leave anything of the curve that was laid down, and
// which of them it may cross.
func (s *shapes) shows(e *sink.Entity, layer int32, clips []clip, stretch contour.Stretch) (by []*drawing.Clip, ok bool) {
	width := 0.0
	if len(s.pen.Widths) > 0 {
		width = float64(slices.Max(s.pen.Widths) * stretch.Most())
	}
	result, crossed := sidesOf(clips, s.pen.Points, width)
	switch {
	case result == outside:
		s.tally.count(e.What, layer, "cut off by the edge of its group", e.At, e.End)
		return nil, false
	case result == crossing && len(crossed) == 0:
		s.notes.warnOnce(problem.ClippedShape, e.At, e.End, problem.Advise(cutFix),
			"this %s is cut off by the edge of its group, which is not applied: it is read whole", e.What)
	}
	return crossed, true
}

// cutFix says how to have clips applied.
const cutFix = "write clip in the column cut to if what is cut off should not be painted"
