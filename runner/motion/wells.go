package motion

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/plane"
)

// Visit is how the brush of a layer is loaded in its well before a stroke.
type Visit struct {
	// Moves lead from where the brush is lifted to over the first point of the
	// stroke: across, down into the ink, over the rim if it is wiped there, up, a
	// mark on the scrap strip if there is one, and across. Before them the brush is
	// lifted to the height of the first.
	Moves   []Move
	Dip     int // number of the move after which the brush stays in the ink
	Seconds float64
	RunIn   int     // number of the first move to the scrap strip; 0 for none
	Travel  float64 // mm of it across, above the rim
}

// Box is where the brush may be lowered beside the sheet: of the axes' X and Y, and
// down to a height, all in grid steps.
type Box struct {
	What                   string // "well", "wipe" or "scrap"
	MinX, MinY, MaxX, MaxY int32
	Lowest                 int32
	Seconds                float64 // that it may stay there
}

// wells sends a brush to its well.
type wells struct {
	well    *model.Well
	axes    axes
	zero    plane.Point // by how much the bed's places have moved
	high    int32       // at which the brush comes and goes
	mark    model.RunIn // on the scrap strip
	paint   int32       // feeds, mm/min
	lower   int32
	wipe    int32 // height of the tip on the rim
	deepest int32
	visits  int
}

// newWells is the way to a layer's well; nil without one.
func newWells(m *planner) *wells {
	well := m.layer.Well
	if well == nil {
		return nil
	}
	w := &wells{well: well, axes: m.axes, zero: m.axes.zero, paint: m.paint, lower: m.lowering, deepest: m.deepest}
	w.high = max(m.axes.safe, m.axes.up(well.Over))
	if c := m.clearing; c != nil { // visits are few: they pass over all clamps
		w.high = max(w.high, c.Over())
	}
	w.wipe = m.axes.up(well.WipeHeight(m.layer.Brush))
	if well.Scrap != nil {
		w.mark, _ = well.RunIn(m.layer.Brush)
	}
	return w
}

// axis is where the machine's axes are when the tip is at a place on the bed.
func (w *wells) axis(p model.BedPlace, z, feed int32) Move {
	q := plane.At(p.X, p.Y)
	return Move{X: w.axes.round(q.X + w.zero.X - w.axes.tipX), Y: w.axes.round(q.Y + w.zero.Y - w.axes.tipY), Z: z, Feed: feed}
}

// floor is the Z to which the brush is lowered in the well: never deeper than
// stated.
func (w *wells) floor() int32 { return w.axes.up(-w.well.Depth) }

// across appends the travel to above a place, from where the brush was lifted to
// the same height. All travel to and from wells is made here.
func (w *wells) across(moves []Move, to Move) []Move {
	to.Z, to.Feed = w.high, 0
	return append(moves, to)
}

// visit loads the brush, before a stroke that begins below a place.
func (w *wells) visit(above Move) *Visit {
	in := w.axis(model.BedPlace{X: w.well.X, Y: w.well.Y}, w.floor(), w.lower)
	v := &Visit{Seconds: w.well.Seconds, Dip: 1}
	moves := append(w.across(nil, in), in)
	at := in
	if p := w.well.Wipe; p != nil {
		at.Z = w.wipe
		moves = append(moves, at)
		at = w.axis(*p, w.wipe, w.lower)
		moves = append(moves, at)
	}
	at.Z = w.high
	moves = append(moves, at)
	if w.well.Scrap != nil {
		v.RunIn = len(moves)
		moves = w.runIn(moves)
	}
	v.Moves = w.across(moves, above)
	w.visits++
	return v
}

// from counts the travel, from where the brush is lifted.
func (v *Visit) from(at Move) {
	for _, m := range v.Moves {
		if m.Feed == 0 {
			v.Travel += xyDistance(at, m)
		}
		at = m
	}
}

// runIn appends a mark on the scrap strip: the next one beside the last.
func (w *wells) runIn(moves []Move) []Move {
	start := w.well.Lane(w.mark, w.visits)
	end := start
	if w.mark.Upright {
		end.Y += w.mark.Length
	} else {
		end.X += w.mark.Length
	}
	down, along := w.axis(start, 0, w.lower), w.axis(end, 0, w.paint)
	for _, m := range []*Move{&down, &along} {
		m.Z = w.axes.paper(m.X, m.Y) - min(w.axes.steps(w.mark.Press), w.deepest)
	}
	moves = w.across(moves, down)
	over := down
	over.Z, over.Feed = w.axes.hover, 0
	moves = append(moves, over, down, along)
	up := along
	up.Z, up.Feed = w.axes.hover, w.lower
	moves = append(moves, up)
	up.Z, up.Feed = w.high, 0
	return append(moves, up)
}

// boxes are where the brush may be lowered on its visits.
func (w *wells) boxes() []Box {
	if w == nil {
		return nil
	}
	box := func(what string, b model.BedBox, lowest int32) Box {
		low, high := w.axis(model.BedPlace{X: b.MinX, Y: b.MinY}, 0, 0), w.axis(model.BedPlace{X: b.MaxX, Y: b.MaxY}, 0, 0)
		return Box{What: what, MinX: low.X, MinY: low.Y, MaxX: high.X, MaxY: high.Y, Lowest: lowest}
	}
	bare := *w.well
	bare.Wipe = nil
	out := []Box{box("well", bare.Around(), w.floor())}
	out[0].Seconds = w.well.Seconds
	if p := w.well.Wipe; p != nil {
		x, y := w.well.X, w.well.Y
		out = append(out, box("wipe", model.BedBox{MinX: min(x, p.X), MinY: min(y, p.Y), MaxX: max(x, p.X), MaxY: max(y, p.Y)}, w.wipe))
	}
	if s := w.well.Scrap; s != nil {
		lowest := -w.deepest
		for _, m := range w.runIn(nil) {
			lowest = min(lowest, m.Z)
		}
		out = append(out, box("scrap", *s, lowest))
	}
	return out
}

// staying is what a visit takes (s) at least, without its travel.
func (d *drying) staying(v *Visit) float64 {
	if v == nil {
		return 0
	}
	sum := v.Seconds
	for i, m := range v.Moves {
		if m.Feed > 0 {
			sum += distance(v.Moves[i-1], m) / (float64(m.Feed) / 60)
		}
	}
	return sum
}

// visited moves the clock on over a visit.
func (d *drying) visited(v *Visit) {
	if d.wet > 0 && v != nil {
		d.now += d.staying(v) + v.Travel/d.travel
	}
}

// ClearOfWells reports each well over which a brush passes between strokes or on its
// way to its place to rest: where the margin walk goes, and all that is inside it.
func ClearOfWells(painted []Painted, wells []*model.Well, sheet *model.Sheet, machine *model.Machine) (problems problem.List) {
	if len(wells) == 0 {
		return nil
	}
	var corners []plane.Point
	for _, layer := range painted {
		a := newAxes(layer.Brush, sheet, machine, layer.Lie)
		from := len(corners)
		corners = append(corners, plane.Point{X: a.rest.X + a.tipX, Y: a.rest.Y + a.tipY})
		a.tipX, a.tipY = 0, 0 // where the tip goes counts
		for _, g := range layer.Gestures {
			corners = appendCorners(corners, g.Points, layer.Brush, a)
		}
		for i := range corners[from:] { // as the zero of the first layer has it
			corners[from+i].X, corners[from+i].Y = corners[from+i].X-a.zero.X, corners[from+i].Y-a.zero.Y
		}
		if len(corners) > hullBatch {
			corners = append(corners[:0], plane.Hull(corners)...)
		}
	}
	corners = plane.Hull(corners)
	for _, w := range wells {
		b := w.Around().Grown(model.WellClear)
		box := plane.Box{Min: plane.At(b.MinX, b.MinY), Max: plane.At(b.MaxX, b.MaxY)}
		if !meets(corners, box) {
			continue
		}
		problems.Errorf(problem.WellInTheWay, w.Place, problem.Advise("move the well away from the sheet and from the place to rest, or state another rest x and rest y"),
			"the well of %s lies within %d mm of where the margin walk goes, or inside it: the brush passes over it between strokes", w.Ink, model.WellClear)
	}
	return problems
}

// meets reports whether a box and a convex polygon, counter-clockwise, have points
// in common.
func meets(polygon []plane.Point, box plane.Box) bool {
	if len(polygon) == 0 || !plane.Bounds(polygon).Overlaps(box) {
		return false
	}
	corners := []plane.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		if !slices.ContainsFunc(corners, func(c plane.Point) bool { return plane.Turn(p, q, c) >= 0 }) {
			return false
		}
	}
	return true
}
