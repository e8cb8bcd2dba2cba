// Package lead takes the brush ahead of its mark by as much as the mark
// trails, so that the mark, not the handle, follows the drawing.
//
// The mark is towed: it lies at the distance of the lag from the handle and
// moves towards it only. Then the handle stands ahead of the mark, in the
// direction in which the mark moves, by the lag at the press there: the
// inverse of the drag curve (tractrix) is a formula, and no equation is
// solved.
package lead

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Step is a place of the handle, and the mark that is painted from there.
type Step struct {
	Handle plane.Point // grid steps on the sheet
	Mark   stroke.Point
	// Turning is a step in which the mark stays where it is: the brush is led
	// out, brought back or swung round.
	Turning bool
}

const (
	// cutCorner is how far the mark may cut a corner, in grid steps, so that
	// the handle of a curve that was flattened moves evenly.
	cutCorner = 0.005 * plane.PerMM
	// sagitta is how far a chord of the handle's swing may lie inside it, in
	// grid steps. The mark stays where it is meanwhile, as it is never pushed.
	sagitta = 0.005 * plane.PerMM
	// leastWay and leastPress are what a step must be apart from the one before,
	// in grid steps and mm: two sums of the same lengths may differ by less.
	leastWay   = 0.001 * plane.PerMM
	leastPress = 0.0005
	// thinned and thinnedPress are how far a step that is left out may lie from
	// the way between those that are kept, in grid steps and mm.
	thinned      = 0.002 * plane.PerMM
	thinnedPress = 0.002
	// mostSwing bounds half the chords of a swing.
	mostSwing = 128
)

// vertex is a point of the mark's path and the way on from it.
type vertex struct {
	x, y         float64 // grid steps
	press, width float64 // mm
	dx, dy       float64 // direction of the way on, length 1
	length       float64 // of the way on, grid steps
}

// Path gives the handle's way for the path of a mark.
//
//   - The brush comes down with its lightest touch where the mark begins, and is
//     pressed while it is led out ahead: the mark does not move. At the end it is
//     brought back and lifted at once, which returns the tip to a point.
//   - At a corner the handle swings round the mark, at the same press; corners
//     of a flattened curve are rounded by no more than 0.005 mm instead.
//   - A dab, and the path of a brush that does not trail, stay as they are.
func Path(points []stroke.Point, lag brush.Lag) []Step {
	v := vertices(points)
	if !lag.Known() || len(v) < 2 {
		steps := make([]Step, len(points))
		for i, p := range points {
			steps[i] = Step{Handle: plane.Point{X: p.X, Y: p.Y}, Mark: p}
		}
		return steps
	}
	w := &way{lag: lag}
	first, last := v[0], v[len(v)-1]
	w.press(first, first.dx, first.dy)
	from := 0.0 // of the way on, left behind by the last corner
	for i := range len(v) - 1 {
		a, b := v[i], v[i+1]
		turn, reach := 0.0, 0.0
		if i+2 < len(v) {
			turn = angle(a, b)
			reach = min(a.length/2, b.length/2)
			if size := math.Abs(turn); float64(size*reach) > 4*cutCorner {
				reach = 4 * cutCorner / size
			}
			if turn == 0 {
				reach = 0
			}
		}
		w.straight(a, b, from, a.length-reach)
		if turn != 0 {
			w.corner(a, b, v[i+2], turn, reach)
		}
		from = reach
	}
	end := v[len(v)-2]
	w.lift(last, end.dx, end.dy)
	return thin(w.steps)
}

// thin leaves out steps that lie on the straight way between others, in place
// and press.
func thin(steps []Step) []Step {
	const reach = 48
	out := steps[:1:1]
	for i := 0; i < len(steps)-1; {
		next := i + 1
		for j := i + 2; j < min(len(steps), i+reach) && straight(steps[i:j+1]); j++ {
			next = j
		}
		out = append(out, steps[next])
		i = next
	}
	return out
}

// straight says whether the steps between the first and the last lie on the
// way between the two, and none of them turns.
func straight(steps []Step) bool {
	a, b := steps[0], steps[len(steps)-1]
	dx, dy := float64(b.Handle.X)-float64(a.Handle.X), float64(b.Handle.Y)-float64(a.Handle.Y)
	long := float64(dx*dx) + float64(dy*dy)
	if a.Turning || b.Turning || long == 0 {
		return false
	}
	for _, s := range steps[1 : len(steps)-1] {
		x, y := float64(s.Handle.X)-float64(a.Handle.X), float64(s.Handle.Y)-float64(a.Handle.Y)
		share := (float64(x*dx) + float64(y*dy)) / long
		off := arith.Hypot(x-float64(share*dx), y-float64(share*dy))
		press := a.Mark.Press + float64(share*(b.Mark.Press-a.Mark.Press))
		if s.Turning || share < 0 || share > 1 || off > thinned || math.Abs(s.Mark.Press-press) > thinnedPress {
			return false
		}
	}
	return true
}

// vertices are the points with the ways between them. A way of no length, on
// which only the press changes, has the direction of the one before it.
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

// angle is the turn from the way on from a to that on from b, in radians,
// positive to the left.
func angle(a, b vertex) float64 {
	return arith.Atan2(float64(a.dx*b.dy)-float64(a.dy*b.dx), float64(a.dx*b.dx)+float64(a.dy*b.dy))
}

type way struct {
	lag   brush.Lag
	steps []Step
}

// press lowers the brush over the mark at v and leads it out in a direction as
// far as the lag at each press; lift does the same backwards.
func (w *way) press(v vertex, dx, dy float64) {
	full := v.press
	v.press = 0
	w.step(v, plane.Point{X: nearest(v.x), Y: nearest(v.y)}, true)
	w.bends(0, full, func(press float64) { v.press = press; w.at(v, dx, dy, true) })
	v.press = full
	w.at(v, dx, dy, true)
}

func (w *way) lift(v vertex, dx, dy float64) {
	w.bends(v.press, 0, func(press float64) { v.press = press; w.at(v, dx, dy, true) })
	v.press = 0
	w.step(v, plane.Point{X: nearest(v.x), Y: nearest(v.y)}, true)
}

// bends calls do for each press between two, in order, at which the lag stops
// changing evenly.
func (w *way) bends(from, to float64, do func(press float64)) {
	trails := w.lag.Trails()
	if from > to {
		slices.Reverse(trails)
	}
	for _, t := range trails {
		if (t.Press-from)*(t.Press-to) < 0 {
			do(t.Press)
		}
	}
}

// at adds the step for a mark at v that moves in a direction.
func (w *way) at(v vertex, dx, dy float64, turning bool) {
	ahead := float64(w.lag.At(v.press) * plane.PerMM)
	w.step(v, plane.Point{X: nearest(v.x + float64(ahead*dx)), Y: nearest(v.y + float64(ahead*dy))}, turning)
}

func (w *way) step(v vertex, handle plane.Point, turning bool) {
	s := Step{Handle: handle, Turning: turning,
		Mark: stroke.Point{X: nearest(v.x), Y: nearest(v.y), Press: v.press, Width: v.width}}
	if n := len(w.steps); n > 0 {
		if last := &w.steps[n-1]; last.Turning == turning && same(last.Handle.X, s.Handle.X) && same(last.Handle.Y, s.Handle.Y) &&
			math.Abs(last.Mark.Press-s.Mark.Press) < leastPress {
			return
		}
	}
	w.steps = append(w.steps, s)
}

func same(a, b int32) bool { return max(a-b, b-a) <= leastWay }

// at is the mark at a distance on the way from a to b.
func (a vertex) at(b vertex, s float64) vertex {
	if s <= 0 || a.length == 0 {
		return a
	}
	return along(a, b, min(s/a.length, 1))
}

// along is the mark at a share of the way from a to b.
func along(a, b vertex, t float64) vertex {
	return vertex{
		x: a.x + float64(t*(b.x-a.x)), y: a.y + float64(t*(b.y-a.y)),
		press: a.press + float64(t*(b.press-a.press)), width: a.width + float64(t*(b.width-a.width)),
	}
}

// straight leads from one distance to another on the way from a to b. The
// handle goes evenly as long as the lag changes evenly with the press.
func (w *way) straight(a, b vertex, from, to float64) {
	w.bends(a.press, b.press, func(press float64) {
		if s := float64(a.length*(press-a.press)) / (b.press - a.press); s > from && s < to {
			w.at(a.at(b, s), a.dx, a.dy, false)
		}
	})
	end := b
	if to < a.length {
		end = a.at(b, to)
	}
	w.at(end, a.dx, a.dy, false)
}

// corner swings round from the way a to b to the way b to c, by a turn. Within
// reach of b the mark bends along a parabola.
func (w *way) corner(a, b, c vertex, turn, reach float64) {
	in, out := a.at(b, a.length-reach), b.at(c, reach)
	lag := max(float64(w.lag.At(b.press)*plane.PerMM), 1)
	// A chord of half an angle h lies r(1-cos h), about rh²/2, inside.
	step := 2 * math.Sqrt(2*sagitta/lag)
	// An even number, so that the press of the corner itself is among them.
	n := 2 * min(max(math.Ceil(math.Abs(turn)/step/2), 1), mostSwing)
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
			m = along(in, b, 2*t)
		default:
			m = along(b, out, 2*t-1)
		}
		m.x, m.y = bow(in.x, b.x, out.x, t), bow(in.y, b.y, out.y, t)
		w.at(m, dx, dy, n > 2)
	}
}

// bow is a point of the parabola from a to c whose tangents meet in b.
func bow(a, b, c, t float64) float64 {
	u := 1 - t
	return float64(float64(u*u)*a) + float64(float64(2*t*u)*b) + float64(float64(t*t)*c)
}

// nearest rounds to the grid, halves up.
func nearest(v float64) int32 { return int32(math.Floor(v + 0.5)) }
