// Package motion turns gestures on the sheet into moves of the machine: down
// to the paper at the lowering feed, along the path at the paint feed or as
// fast as Z allows, up again, and on at the safe height.
//
// All coordinates are whole grid steps (0.0001 mm), rounded to the decimals
// that the machine reads, so that what is checked here is what gets written.
package motion

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Move is a straight move to a place, in grid steps of the machine's own axes.
// Z 0 is the first touch of the paper.
type Move struct {
	X, Y, Z int32
	// Feed in mm/min, along the path in space; 0 is a travel move, as fast as
	// the machine travels.
	Feed int32
}

// Stroke is one gesture as moves: to above its first point, down, along, up.
type Stroke struct {
	Number int // from 1, in the order of painting
	Kind   stroke.Kind
	Shape  int
	// Pause says that the check strip is done: the lifted brush goes home, over
	// the machine's zero, and waits before this stroke.
	Pause bool
	// Moves begins with the travel to above the first point and ends with the
	// lift to the safe height.
	Moves []Move
	Place source.Place // the shape in its drawing file

	Painted float64 // mm of path on the paper
	Travel  float64 // mm of travel before it
	Seconds float64 // estimated, with that travel
	Deepest float64 // mm, the deepest press as written
	// Narrowest and Widest mark, in mm.
	Narrowest, Widest float64
	Feed              int32 // mm/min, the lowest on its path
}

// Plan is a layer as moves.
type Plan struct {
	Layer    string
	Decimals int   // of a coordinate, 3 or 4
	Safe     int32 // the height of travel, in grid steps
	Strokes  []Stroke
	Remarks  []stroke.Remark // where the feed was lowered or an entry lengthened, by gesture

	Painted float64 // mm of path on the paper
	Travel  float64 // mm of travel, there and back
	Seconds float64 // estimated
}

// Make turns the gestures of a layer, in the order of painting, into moves. A
// gesture becomes the stroke of the same place in the plan, those without
// points left out.
//
// It reports what would leave the machine's reach, the sheet or its margin, or
// would press past the safe press; the plan is then not to be used.
func Make(gestures []stroke.Gesture, layer *model.Layer, sheet *model.Sheet, machine *model.Machine) (Plan, problem.List) {
	m := newMaker(layer, sheet, machine)
	p := Plan{Layer: layer.Name, Decimals: m.decimals, Safe: m.safe}
	n := 0
	for _, g := range gestures {
		n += len(g.Points) + 4
	}
	m.moves = make([]Move, 0, n)
	at := Move{Z: m.safe}
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		g = m.lengthen(g)
		n := len(p.Strokes)
		pause := n > 0 && p.Strokes[n-1].Kind == stroke.Check && g.Kind != stroke.Check
		home := 0.0
		if pause {
			home, at = xyDistance(at, Move{}), Move{Z: m.safe}
		}
		way := lagcomp.AxisPath(g.Points, layer.Brush.Lag)
		s := m.stroke(g, way, at)
		s.Number, s.Pause = n+1, pause
		if pause {
			s.Travel += home
			s.Seconds += m.travelTime(home)
		}
		m.check(g, way, &s)
		at = s.Moves[len(s.Moves)-1]
		p.Strokes = append(p.Strokes, s)
		p.Painted += s.Painted
		p.Travel += s.Travel
		p.Seconds += s.Seconds
	}
	home := xyDistance(at, Move{})
	p.Travel += home
	p.Seconds += m.travelTime(home)
	p.Remarks = m.remarks
	m.report()
	return p, m.problems
}

// maker holds what stays the same for a layer.
type maker struct {
	layer    *model.Layer
	sheet    *model.Sheet
	machine  *model.Machine
	frame    Frame
	decimals int
	step     int32 // grid steps in the last decimal
	safe     int32
	deepest  int32 // the safe press, rounded to the lighter side
	tipX     int32
	tipY     int32
	paint    int32 // mm/min
	lower    int32
	remarks  []stroke.Remark
	problems problem.List
	faults   faults
	moves    []Move // all strokes' moves, one after the other
	speeds   []float64
}

func newMaker(layer *model.Layer, sheet *model.Sheet, machine *model.Machine) *maker {
	m := &maker{layer: layer, sheet: sheet, machine: machine, frame: NewFrame(sheet), decimals: 3, step: 10}
	if machine.Decimals >= 4 {
		m.decimals, m.step = 4, 1
	}
	m.safe = m.up(machine.SafeHeight)
	m.deepest = m.steps(layer.Brush.SafePress)
	for plane.MM(m.deepest) > layer.Brush.SafePress {
		m.deepest -= m.step
	}
	m.tipX, m.tipY = plane.Snap(layer.Brush.TipX), plane.Snap(layer.Brush.TipY)
	m.paint = feed(layer.Feed)
	m.lower = feed(min(machine.LoweringFeed, machine.ZFeed))
	return m
}

// feed rounds a feed down to whole mm/min, but not to a standstill.
func feed(v float64) int32 { return int32(max(1, math.Floor(min(v, 1e6)))) }

// round brings grid steps to the machine's decimals, halves away from zero.
func (m *maker) round(v int32) int32 {
	if v < 0 {
		return -((-v + m.step/2) / m.step * m.step)
	}
	return (v + m.step/2) / m.step * m.step
}

// steps is a length in mm as grid steps with the machine's decimals.
func (m *maker) steps(v float64) int32 { return m.round(plane.Snap(v)) }

// up is steps, never below the length.
func (m *maker) up(v float64) int32 {
	n := m.steps(v)
	for plane.MM(n) < v {
		n += m.step
	}
	return n
}

// z is the height for a press.
func (m *maker) z(press float64) int32 { return -min(m.steps(max(press, 0)), m.deepest) }

// place is where the machine's axes stand when the tip is at a point of the
// sheet.
func (m *maker) place(p plane.Point) (x, y int32) {
	q := m.frame.ToMachine(p)
	return m.round(q.X - m.tipX), m.round(q.Y - m.tipY)
}

// stroke turns the way of a gesture into moves from the place where the last
// one ended.
func (m *maker) stroke(g stroke.Gesture, way []lagcomp.Step, from Move) Stroke {
	s := Stroke{Kind: g.Kind, Shape: g.Shape, Place: g.Place, Feed: m.paint,
		Narrowest: g.Points[0].Width, Widest: g.Points[0].Width}
	begin := len(m.moves)
	x, y := m.place(way[0].Axis)
	above := Move{X: x, Y: y, Z: m.safe}
	down := Move{X: x, Y: y, Z: m.z(way[0].Mark.Press), Feed: m.lower}
	m.moves = append(m.moves, above, down)
	slowed := slowing{kind: g}
	at := down
	for i, step := range way {
		p := step.Mark
		s.Narrowest, s.Widest = min(s.Narrowest, p.Width), max(s.Widest, p.Width)
		if i == 0 {
			continue
		}
		next := Move{Z: m.z(p.Press)}
		next.X, next.Y = m.place(step.Axis)
		if next.X == at.X && next.Y == at.Y && next.Z == at.Z {
			continue
		}
		next.Feed = m.feedTo(at, next, step.MarkRests)
		if !step.MarkRests {
			s.Feed = min(s.Feed, next.Feed)
		}
		s.Painted += xyDistance(at, next)
		if next.Feed < m.paint && !step.MarkRests {
			slowed.add(p, next.Feed, xyDistance(at, next))
		}
		m.moves = append(m.moves, next)
		at = next
	}
	m.moves = append(m.moves, Move{X: at.X, Y: at.Y, Z: m.safe, Feed: m.lower})
	s.Moves = m.moves[begin:len(m.moves):len(m.moves)]
	for _, v := range s.Moves {
		s.Deepest = max(s.Deepest, -plane.MM(v.Z))
	}
	s.Travel = xyDistance(from, above)
	s.Seconds = m.travelTime(s.Travel) + m.pathTime(s.Moves)
	if slowed.feed > 0 {
		m.remarks = append(m.remarks, slowed.remark())
	}
	return s
}

// xyDistance is in mm.
func xyDistance(a, b Move) float64 {
	dx, dy := int64(a.X)-int64(b.X), int64(a.Y)-int64(b.Y)
	return math.Sqrt(float64(dx*dx+dy*dy)) / plane.PerMM
}

// distance is in mm, in space.
func distance(a, b Move) float64 {
	dx, dy, dz := int64(a.X)-int64(b.X), int64(a.Y)-int64(b.Y), int64(a.Z)-int64(b.Z)
	return math.Sqrt(float64(dx*dx+dy*dy+dz*dz)) / plane.PerMM
}
