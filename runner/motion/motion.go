// Package motion turns gestures on the sheet into moves of the machine: down
// to the paper at the lowering feed, along the path at the layer's feed or as
// fast as Z allows, up again, and across to the next at the safe height, or
// lower where the machine states a height to hover at and nothing is in the way.
//
// All coordinates are whole grid steps (0.0001 mm), rounded to the decimals
// that the machine reads, so that the values checked here are those written.
package motion

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/entries"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Move is a straight move to a position, in grid steps of the machine's axes.
// Z 0 is the first touch of the paper.
type Move struct {
	X, Y, Z int32
	// Feed in mm/min, along the path in space; 0 is a rapid move.
	Feed int32
}

// Stroke is one gesture as moves: to above its first point, down, along, up.
type Stroke struct {
	Number int // from 1, in the order of painting
	Kind   stroke.Kind
	Shape  int
	// Pause says what the painter does before this stroke, while the lifted brush
	// waits at its place to rest; "" to go on without a pause.
	Pause string
	Name  string  // of a mark of a swatch sheet; "" for others
	Wait  float64 // s that the brush stays down at the end
	Dry   float64 // s that the machine waits at its place to rest before it, until what the stroke touches is dry
	Visit *Visit  // to the well, after that; nil for none
	// Moves begins with the travel to above the first point, at the height of that
	// travel, and ends with the lift to the hover height. A rapid down to that
	// height follows the travel if it was higher. Where clamps are in the way, the
	// travel is several moves.
	Moves []Move
	Away  Retreat      // to the place to rest before the pause, or the wait until it is dry
	Place source.Place // of the shape in its drawing file

	Painted float64 // mm of path on the paper
	Travel  float64 // mm of travel before it
	Deepest float64 // mm, the deepest press as written
	// Narrowest and Widest mark, in mm.
	Narrowest, Widest float64
	Feed              int32 // mm/min, the lowest on its path
}

// Plan is a layer as moves.
type Plan struct {
	Layer    string
	Decimals int   // of a coordinate, 3 or 4
	Safe     int32 // height of rapid moves across, in grid steps
	Hover    int32 // height of those between near strokes, and where the lowering feed begins
	Start    int32 // height of the first lift, at least Safe
	Rest     Move  // where the machine waits at pauses and at the end
	Home     Retreat
	Clamps   *Clamps // nil if the recipe has none
	Ground   *Ground
	Strokes  []Stroke
	Remarks  []stroke.Remark // on feed, entries, exits and steep presses, by gesture
	Entries  entries.Tally   // of the picture's strokes

	Painted float64 // mm of path on the paper
	Travel  float64 // mm of travel, from the place to rest and back
	Drying  Drying
	Blocks  Blocks
	Boxes   []Box // where the brush is lowered beside the sheet
}

// stripDone is what the painter does after a check strip.
const stripDone = "check strip done: measure it, then resume"

// reloadAt is what the painter does where the brush is loaded again, at a pause
// that may be there already.
func reloadAt(pause string) string {
	if pause == "" {
		return "load the brush and pull it on scrap, then resume"
	}
	return "check strip done: measure it, load the brush, then resume"
}

// Make turns the gestures of a layer, in the order of painting, into moves over
// the sheet as it lies.
// Each gesture with points becomes one stroke of the plan.
//
// A stroke that would leave the machine's reach, the sheet or its margin, or go
// deeper than the safe press, is a problem. If there is one, do not use the
// plan.
func Make(gestures []stroke.Gesture, layer *model.Layer, sheet *model.Sheet, machine *model.Machine, lie Lie) (Plan, problem.List) {
	m := newPlanner(layer, sheet, machine, lie)
	p := Plan{Layer: layer.Name, Decimals: m.axes.decimals, Safe: m.axes.safe, Start: m.axes.safe, Hover: m.axes.hover, Rest: m.axes.rest, Ground: m.axes.ground(sheet), Clamps: m.clearing.plain()}
	if m.clearing != nil {
		p.Start = m.clearing.start
	}
	n := 0
	for _, g := range gestures {
		n += len(g.Points) + 4
	}
	m.moves = make([]Move, 0, n)
	rest := p.Rest
	rest.Z = p.Safe
	at := rest
	wet, wells := newDrying(gestures, layer, machine), newWells(m)
	p.Boxes = wells.boxes()
	stops := stops{m, wells, wet, rest}
	for i, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		shaped := m.entries.Shape(m.lengthen(g))
		g = shaped.Gesture
		n := len(p.Strokes)
		pause := ""
		if n > 0 && p.Strokes[n-1].Kind == stroke.Check && g.Kind != stroke.Check {
			pause = stripDone
		}
		loads := wells != nil && (n == 0 || g.Reload || pause != "")
		if g.Reload && wells == nil {
			pause = reloadAt(pause)
		}
		m.paint = feed(layer.Feed)
		if g.Trial != nil {
			pause, m.paint = g.Trial.Pause, feed(g.Trial.Feed)
		}
		path := m.axisPath(g)
		var above Move
		above.X, above.Y = m.axes.position(path[0].Axis)
		stop := stops.before(i, at, above, stopping{first: n == 0, pauses: pause != "", loads: loads})
		s := m.stroke(shaped, path, stop.at, n == 0 && stop.straight)
		s.Visit, s.Away, s.Dry = stop.visit, stop.retreat, stop.dry
		wet.painted(i, at, &s)
		if g.Kind.OfPicture() {
			p.Entries.Add(shaped.Tally)
		}
		s.Number, s.Pause = n+1, pause
		if g.Trial != nil {
			s.Name, s.Wait = g.Trial.Name, g.Trial.Wait
		}
		s.Travel += stop.away
		m.check(g, path, &s)
		at = s.Moves[len(s.Moves)-1]
		p.Strokes = append(p.Strokes, s)
		p.Painted += s.Painted
		p.Travel += s.Travel
	}
	p.Home = clamped{m}.retreat(at)
	p.Travel += p.Home.length(at, rest)
	p.Remarks, p.Blocks = m.remarks, m.blocks
	p.Drying = Drying{wet.waits, wet.waiting}
	m.report()
	return p, m.problems
}

// planner plans one layer.
type planner struct {
	layer    *model.Layer
	sheet    *model.Sheet
	machine  *model.Machine
	axes     axes
	clearing *clearing // nil without clamps
	barrier  barrier
	entries  *entries.Shaper
	deepest  int32 // grid steps: the deepest press, rounded towards the paper
	paint    int32 // feed along the path, mm/min
	lowering int32 // feed down and up, mm/min
	remarks  []stroke.Remark
	problems problem.List
	worst    violations
	// feedFailed reports that something wrong with the layer's feed was reported.
	feedFailed bool
	moves      []Move // of all strokes, one after the other
	blocks     Blocks
}

func newPlanner(layer *model.Layer, sheet *model.Sheet, machine *model.Machine, lie Lie) *planner {
	a := newAxes(layer.Brush, sheet, machine, lie)
	return &planner{
		layer: layer, sheet: sheet, machine: machine, axes: a, clearing: newClearing(&a, layer.Brush, sheet, machine), entries: entries.New(layer),
		deepest: a.deepest(layer.Brush),
		paint:   feed(layer.Feed), lowering: feed(min(machine.LoweringFeed, machine.ZFeed)),
	}
}

// feed rounds a feed down to whole mm/min, from 1 to a million.
func feed(v float64) int32 { return int32(max(1, math.Floor(min(v, 1e6)))) }

// z is the Z coordinate for a press where the axes are at x and y, in grid
// steps; above the paper for a press below 0.
func (m *planner) z(x, y int32, press float64) int32 {
	return m.axes.paper(x, y) - min(m.axes.steps(press), m.deepest)
}

// stroke turns the path of the axis into moves; from is where the stroke before
// it ended. first is true where that is not known.
func (m *planner) stroke(g entries.Shaped, path []lagcomp.Step, from Move, first bool) Stroke {
	s := Stroke{Kind: g.Kind, Shape: g.Shape, Place: g.Place, Feed: m.paint,
		Narrowest: g.Points[0].Width, Widest: g.Points[0].Width}
	begin := len(m.moves)
	byFormula := m.newFeeding(&g.Gesture, path)
	x, y := m.axes.position(path[0].Axis)
	s.Travel = clamped{m}.lead(from, Move{X: x, Y: y}, first)
	if above := m.moves[len(m.moves)-1]; above.Z > m.axes.hover {
		m.moves = append(m.moves, Move{X: x, Y: y, Z: m.axes.hover})
	}
	down := Move{X: x, Y: y, Z: m.z(x, y, path[0].Mark.Press), Feed: m.lowering}
	touch := len(m.moves)
	m.moves = append(m.moves, down)
	resting := []bool{false} // whether the mark rests, of each move from there on
	m.remarks = append(m.remarks, g.Remarks...)
	slowed := newSlowing(g)
	at := down
	press := path[0].Mark.Press
	for i, step := range path {
		p := step.Mark
		slowed.reach(p)
		s.Narrowest, s.Widest = min(s.Narrowest, p.Width), max(s.Widest, p.Width)
		if i == 0 {
			continue
		}
		x, y := m.axes.position(step.Axis)
		from := at
		parts := max(m.parts(at, x, y), byFormula.parts(i, xyDistance(at, Move{X: x, Y: y})))
		for part := 1; part <= parts; part++ {
			byFormula.paint(i, part, parts)
			next := m.along(from, x, y, press, p.Press, part, parts)
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
			m.moves, resting = append(m.moves, next), append(resting, step.MarkRests)
			at = next
		}
		press = p.Press
	}
	merger{m}.spare(touch, resting)
	m.moves = append(m.moves, Move{X: at.X, Y: at.Y, Z: m.axes.hover, Feed: m.lowering})
	s.Moves = m.moves[begin:len(m.moves):len(m.moves)]
	for _, v := range s.Moves {
		s.Deepest = max(s.Deepest, plane.MM(m.axes.paper(v.X, v.Y)-v.Z))
	}
	if slowed.feed > 0 {
		m.remarks = append(m.remarks, slowed.remark())
	}
	return s
}

// axisPath is the way of the axis for a gesture, with the presses that the
// machine is asked for.
func (m *planner) axisPath(g stroke.Gesture) []lagcomp.Step {
	b := m.layer.Brush
	path := takeUp(lagcomp.AxisPath(g.Points, b.Lag), b.Play, b.SteepestPress)
	m.holdBack(g, path)
	return path
}

// xyDistance is the distance seen from above, in mm.
func xyDistance(a, b Move) float64 {
	return plane.Distance(plane.Point{X: a.X, Y: a.Y}, plane.Point{X: b.X, Y: b.Y}) / plane.PerMM
}

// distance is the distance in space, in mm.
func distance(a, b Move) float64 {
	dx, dy, dz := int64(a.X)-int64(b.X), int64(a.Y)-int64(b.Y), int64(a.Z)-int64(b.Z)
	return math.Sqrt(float64(dx*dx+dy*dy+dz*dz)) / plane.PerMM
}
