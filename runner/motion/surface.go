package motion

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// followed (mm) is how far Z may be from the surface between the ends of a move.
// Both ends are rounded, by less than the rest to the 0.01 mm that is promised.
const followed = 0.008

// leastPart (grid steps) is how long a part of a divided move is at least.
const leastPart = 1000

// deepest is the deepest press of a brush as the program may write it. On a
// surface the height of the paper is rounded down and, between the ends of a move,
// a bed that bends may be higher than Z knows.
func (a axes) deepest(b *model.Brush) int32 {
	press := b.DeepestPress()
	if a.surface == nil {
		return a.down(press)
	}
	if a.surface.Curved() {
		press = max(press-followed, 0)
	}
	return max(a.down(press)-a.step, 0)
}

// parts is into how many moves a way from a position to another is divided, so
// that Z follows the surface.
func (m *planner) parts(from Move, x, y int32) int {
	s := m.axes.surface
	if s == nil || !s.Curved() {
		return 1
	}
	a, b := m.axes.stops.ToSheet(plane.Point{X: from.X, Y: from.Y}), m.axes.stops.ToSheet(plane.Point{X: x, Y: y})
	sag := s.Sag(plane.MM(b.X-a.X), plane.MM(b.Y-a.Y))
	most := max(1, int(plane.Distance(a, b)/leastPart))
	n := 1
	for n < most && sag > float64(followed*float64(n*n)) {
		n++
	}
	if m.axes.beyondSheet(from.X, from.Y) || m.axes.beyondSheet(x, y) {
		// Beyond the sheet the surface is level, so it has an edge on the way.
		steepest, _, _ := s.Steepest()
		n = max(n, int(math.Ceil(float64(steepest*plane.Distance(a, b)/plane.PerMM)/(4*followed))))
	}
	return min(n, most)
}

// beyondSheet reports whether the tip is beyond the sheet at its stops.
func (a axes) beyondSheet(x, y int32) bool {
	return !a.stops.Sheet().Has(plane.Point{X: x + a.tipX - a.zero.X, Y: y + a.tipY - a.zero.Y})
}

// along is the end of a part of a way, from a position and press to the next.
func (m *planner) along(from Move, x, y int32, press, next float64, part, parts int) Move {
	if part == parts {
		return Move{X: x, Y: y, Z: m.z(x, y, next)}
	}
	t := float64(part) / float64(parts)
	v := Move{X: m.axes.round(plane.Lerp(from.X, x, t)), Y: m.axes.round(plane.Lerp(from.Y, y, t))}
	v.Z = m.z(v.X, v.Y, vector.Lerp(press, next, t))
	return v
}

// Ground is where a brush is touched off and, if Z follows a surface, of what
// that was made, in the machine's coordinates and grid steps.
type Ground struct {
	At         Move // where the axes are when the tip is over the place of touching off
	TipX, TipY int32
	Sheet      plane.Box // heights are asked for there
	Touches    []Move    // where the tip was, and how high; none if Z follows no surface
	Bent       bool
}

// ground is the ground of a layer; nil if the recipe does not say where brushes
// are touched off.
func (a axes) ground(sheet *model.Sheet) *Ground {
	if !sheet.TouchOff.Stated {
		return nil
	}
	tip := func(x, y float64) Move {
		p := a.stops.ToMachine(plane.At(x, y))
		return Move{X: a.round(p.X + a.zero.X), Y: a.round(p.Y + a.zero.Y)}
	}
	g := &Ground{At: tip(sheet.TouchOff.X, sheet.TouchOff.Y), TipX: a.tipX, TipY: a.tipY, Sheet: a.stops.Sheet()}
	g.At.X, g.At.Y = g.At.X-a.tipX, g.At.Y-a.tipY
	g.Sheet.Min.X, g.Sheet.Max.X = g.Sheet.Min.X+a.zero.X, g.Sheet.Max.X+a.zero.X
	g.Sheet.Min.Y, g.Sheet.Max.Y = g.Sheet.Min.Y+a.zero.Y, g.Sheet.Max.Y+a.zero.Y
	if a.surface == nil {
		return g
	}
	g.Bent = a.surface.Curved()
	for _, t := range a.surface.Touches() {
		v := tip(t.X, t.Y)
		v.Z = plane.Snap(t.Height)
		g.Touches = append(g.Touches, v)
	}
	return g
}
