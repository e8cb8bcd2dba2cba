// Package lagcomp compensates for a brush whose mark lags behind its axis: it
// moves the axis ahead of the mark, so that the mark lies where it was drawn.
//
// The mark is towed: it stays within the lag of the axis and only ever moves
// towards it. So for a given path of the mark, the axis is ahead of the mark
// by the lag at the press there, in the direction in which the mark moves.
// This inverse of the drag curve (tractrix) is a formula; no equation is
// solved.
package lagcomp

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

// Step is a position of the brush's axis and the mark painted from there.
type Step struct {
	Axis plane.Point // grid steps on the sheet
	Mark stroke.Point
	// MarkRests reports that the mark does not move in this step: the axis
	// moves out ahead of it, back over it, or round it.
	MarkRests bool
}

const (
	// cornerCut is how far the mark may cut a corner, in grid steps, so that
	// the axis moves smoothly along a flattened curve.
	cornerCut = 0.005 * plane.PerMM
	// sagitta is how far a chord of the arc on which the axis swings round the
	// mark may lie inside that arc, in grid steps. Meanwhile the mark stays
	// where it is: it is pulled, never pushed.
	sagitta = 0.005 * plane.PerMM
	// Steps closer to the one before than minDistance (grid steps) and minPress
	// (mm) are dropped: sums of the same lengths may differ by less, because of
	// rounding.
	minDistance = 0.001 * plane.PerMM
	minPress    = 0.0005
	// A step is dropped if it lies within these distances of the straight path
	// between the steps that are kept, in grid steps and mm.
	pathTolerance  = 0.002 * plane.PerMM
	pressTolerance = 0.002
	// maxHalfChords bounds half the number of chords of one swing.
	maxHalfChords = 128
)

// vertex is a point of the mark's path, with the direction and length of the
// segment that starts there.
type vertex struct {
	x, y         float64 // grid steps
	press, width float64 // mm
	dx, dy       float64 // direction of the segment, length 1
	length       float64 // of the segment, grid steps
}

// AxisPath returns the path of the axis for the path of a mark.
//
//   - The brush comes down with its lightest touch where the mark begins. It is
//     pressed while the axis moves out ahead, so that the mark does not move.
//     At the end the axis moves back while the brush is lifted, which returns
//     the tip to a point.
//   - At a corner the axis swings round the mark at the same press. Corners of
//     a flattened curve are rounded instead, by no more than 0.005 mm.
//   - A dab, and any path of a brush without lag, stay as they are.
func AxisPath(points []stroke.Point, lag brush.Lag) []Step {
	v := vertices(points)
	if !lag.Known() || len(v) < 2 {
		steps := make([]Step, len(points))
		for i, p := range points {
			steps[i] = Step{Axis: plane.Point{X: p.X, Y: p.Y}, Mark: p}
		}
		return steps
	}
	pb := &pathBuilder{lag: lag}
	first, last := v[0], v[len(v)-1]
	pb.press(first, first.dx, first.dy)
	from := 0.0 // distance along the segment already covered by the corner before it
	for i := range len(v) - 1 {
		a, b := v[i], v[i+1]
		turn, reach := 0.0, 0.0 // at b: the angle, and from how far the mark rounds it
		if i+2 < len(v) {
			turn = turnAngle(a, b)
			// A parabola that begins at distance r before a corner of t radians
			// passes about r·t/4 from it.
			reach = min(a.length/2, b.length/2)
			if size := math.Abs(turn); float64(size*reach) > 4*cornerCut {
				reach = 4 * cornerCut / size
			}
			if turn == 0 {
				reach = 0
			}
		}
		pb.straight(a, b, from, a.length-reach)
		if turn != 0 {
			pb.corner(a, b, v[i+2], turn, reach)
		}
		from = reach
	}
	end := v[len(v)-2]
	pb.lift(last, end.dx, end.dy)
	return thin(pb.steps)
}

// thin drops steps that lie on the straight path between others, in position
// and press.
func thin(steps []Step) []Step {
	const mostDropped = 48 // at once; bounds the work on a long straight path
	out := steps[:1:1]
	for i := 0; i < len(steps)-1; {
		next := i + 1
		for j := i + 2; j < min(len(steps), i+mostDropped) && isStraight(steps[i:j+1]); j++ {
			next = j
		}
		out = append(out, steps[next])
		i = next
	}
	return out
}

// isStraight reports whether all steps between the first and the last lie on the
// straight path between those two, and the mark moves in each of them.
func isStraight(steps []Step) bool {
	a, b := steps[0], steps[len(steps)-1]
	way := b.Axis.XY().Minus(a.Axis.XY())
	squaredLength := way.Dot(way)
	if a.MarkRests || b.MarkRests || squaredLength == 0 {
		return false
	}
	for _, s := range steps[1 : len(steps)-1] {
		step := s.Axis.XY().Minus(a.Axis.XY())
		share := step.Dot(way) / squaredLength
		off := step.Minus(way.Times(share)).Length()
		press := vector.Lerp(a.Mark.Press, b.Mark.Press, share)
		if s.MarkRests || share < 0 || share > 1 || off > pathTolerance || math.Abs(s.Mark.Press-press) > pressTolerance {
			return false
		}
	}
	return true
}

// vertices returns the points with the segments between them, or nil if the
// mark never moves. A segment of no length, on which only the press changes,
// takes the direction of the one before it, or of the next if it is the first.
func vertices(points []stroke.Point) []vertex {
	v := make([]vertex, 0, len(points))
	moves := false
	for _, p := range points {
		n := vertex{x: float64(p.X), y: float64(p.Y), press: p.Press, width: p.Width}
		if k := len(v) - 1; k >= 0 {
			dx, dy := n.x-v[k].x, n.y-v[k].y
			d := arith.Hypot(dx, dy)
			if d == 0 && p.Press == v[k].press {
				continue
			}
			v[k].length = d
			if d > 0 {
				v[k].dx, v[k].dy = dx/d, dy/d
				moves = true
			}
		}
		v = append(v, n)
	}
	if !moves {
		return nil
	}
	for k := 1; k < len(v); k++ {
		if v[k].length == 0 {
			v[k].dx, v[k].dy = v[k-1].dx, v[k-1].dy
		}
	}
	for k := len(v) - 2; k >= 0; k-- {
		if v[k].dx == 0 && v[k].dy == 0 {
			v[k].dx, v[k].dy = v[k+1].dx, v[k+1].dy
		}
	}
	return v
}

// turnAngle is the angle from the segment at a to the segment at b, in
// radians, positive to the left.
func turnAngle(a, b vertex) float64 {
	return arith.Atan2(float64(a.dx*b.dy)-float64(a.dy*b.dx), float64(a.dx*b.dx)+float64(a.dy*b.dy))
}

// pathBuilder collects the steps of one path.
type pathBuilder struct {
	lag   brush.Lag
	steps []Step
}

// press lowers the brush over the mark at v and moves the axis out in the
// given direction, as far as the lag at each press.
func (pb *pathBuilder) press(v vertex, dx, dy float64) {
	full := v.press
	v.press = 0
	pb.step(v, plane.Point{X: plane.Round(v.x), Y: plane.Round(v.y)}, true)
	pb.bends(0, full, func(press float64) { v.press = press; pb.at(v, dx, dy, true) })
	v.press = full
	pb.at(v, dx, dy, true)
}

// lift moves the axis back over the mark at v while the brush is lifted: press
// in reverse.
func (pb *pathBuilder) lift(v vertex, dx, dy float64) {
	pb.bends(v.press, 0, func(press float64) { v.press = press; pb.at(v, dx, dy, true) })
	v.press = 0
	pb.step(v, plane.Point{X: plane.Round(v.x), Y: plane.Round(v.y)}, true)
}

// bends calls do for each press strictly between the two, in order, at which
// the lag curve has a corner.
func (pb *pathBuilder) bends(from, to float64, do func(press float64)) {
	trails := pb.lag.Trails()
	if from > to {
		slices.Reverse(trails)
	}
	for _, t := range trails {
		if (t.Press-from)*(t.Press-to) < 0 {
			do(t.Press)
		}
	}
}

// at adds the step for a mark at v, with the axis ahead of it in the given
// direction.
func (pb *pathBuilder) at(v vertex, dx, dy float64, rests bool) {
	ahead := float64(pb.lag.At(v.press) * plane.PerMM)
	pb.step(v, plane.Point{X: plane.Round(v.x + float64(ahead*dx)), Y: plane.Round(v.y + float64(ahead*dy))}, rests)
}

// step adds a step, unless it differs from the last one by rounding only.
func (pb *pathBuilder) step(v vertex, axis plane.Point, rests bool) {
	s := Step{Axis: axis, MarkRests: rests,
		Mark: stroke.Point{X: plane.Round(v.x), Y: plane.Round(v.y), Press: v.press, Width: v.width}}
	if n := len(pb.steps); n > 0 {
		if last := &pb.steps[n-1]; last.MarkRests == rests && same(last.Axis.X, s.Axis.X) && same(last.Axis.Y, s.Axis.Y) &&
			math.Abs(last.Mark.Press-s.Mark.Press) < minPress {
			return
		}
	}
	pb.steps = append(pb.steps, s)
}

// same reports whether two coordinates differ by rounding only.
func same(a, b int32) bool { return max(a-b, b-a) <= minDistance }

// along is the mark at a distance along the segment from a to b, in grid steps.
func (a vertex) along(b vertex, s float64) vertex {
	if s <= 0 || a.length == 0 {
		return a
	}
	return interpolate(a, b, min(s/a.length, 1))
}

// interpolate is the mark at a share t of the segment from a to b.
func interpolate(a, b vertex, t float64) vertex {
	return vertex{
		x: vector.Lerp(a.x, b.x, t), y: vector.Lerp(a.y, b.y, t),
		press: vector.Lerp(a.press, b.press, t), width: vector.Lerp(a.width, b.width, t),
	}
}

// straight follows the segment from a to b between two distances along it. A
// step is added wherever the lag curve has a corner, because the axis moves
// evenly only between those.
func (pb *pathBuilder) straight(a, b vertex, from, to float64) {
	pb.bends(a.press, b.press, func(press float64) {
		if s := float64(a.length*(press-a.press)) / (b.press - a.press); s > from && s < to {
			pb.at(a.along(b, s), a.dx, a.dy, false)
		}
	})
	end := b
	if to < a.length {
		end = a.along(b, to)
	}
	pb.at(end, a.dx, a.dy, false)
}

// corner swings the axis round from the segment a to b to the segment b to c,
// by the angle turn. Within reach of b the mark follows a parabola.
func (pb *pathBuilder) corner(a, b, c vertex, turn, reach float64) {
	in, out := a.along(b, a.length-reach), b.along(c, reach)
	lag := max(float64(pb.lag.At(b.press)*plane.PerMM), 1)
	// A chord over an angle of 2h lies r(1-cos h), about rh²/2, inside its arc.
	step := 2 * math.Sqrt(2*sagitta/lag)
	// An even number, so that the press at the corner itself is among them.
	n := 2 * min(max(math.Ceil(math.Abs(turn)/step/2), 1), maxHalfChords)
	for k := 1.0; k <= n; k++ {
		t := k / n
		sin, cos := arith.SinCos(float64(turn * t))
		dx, dy := float64(a.dx*cos)-float64(a.dy*sin), float64(a.dx*sin)+float64(a.dy*cos)
		m := out
		switch {
		case k == n:
			dx, dy = b.dx, b.dy
		case 2*k == n:
			m = b
		case 2*k < n:
			m = interpolate(in, b, 2*t)
		default:
			m = interpolate(b, out, 2*t-1)
		}
		m.x, m.y = parabola(in.x, b.x, out.x, t), parabola(in.y, b.y, out.y, t)
		// Two chords are a bend of a curve, on which the mark moves on. In a longer
		// swing it all but rests: it moves by no more than twice reach.
		pb.at(m, dx, dy, n > 2)
	}
}

// parabola is a point of the parabola from a to c whose tangents meet in b.
func parabola(a, b, c, t float64) float64 {
	u := 1 - t
	return float64(float64(u*u)*a) + float64(float64(2*t*u)*b) + float64(float64(t*t)*c)
}
