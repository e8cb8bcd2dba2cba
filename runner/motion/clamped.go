package motion

import (
	"fmt"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/detour"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Retreat is how the machine gets to its place to rest: at a height, by places.
// The zero Retreat goes straight there at the safe height.
type Retreat struct {
	Z   int32
	Via []Move
}

// clamped plans past the clamps.
type clamped struct{ of *planner }

// retreat is how the machine gets from a lifted place to its place to rest.
func (k clamped) retreat(at Move) Retreat {
	c := k.of.clearing
	if c == nil {
		return Retreat{}
	}
	w, ok := c.to(at, c.axes.rest, c.axes.rest.Z)
	if !ok {
		k.cutOff(at, c.axes.rest)
	}
	return Retreat{w.Z, moves(w, 0)}
}

// lead appends the travel to above a place, and reports how far that is in mm. It
// is at the hover height where that may be, else at the safe height or, over
// clamps, higher. first is true where it is not known from where it comes.
func (k clamped) lead(from Move, above Move, first bool) (travel float64) {
	m := k.of
	c := m.clearing
	low := m.mayHover(from, above)
	if above.Z = m.axes.safe; low {
		above.Z = m.axes.hover
	}
	switch {
	case c == nil:
	case first && !c.known:
		above.Z = c.start
	default:
		w, ok := k.between(from, above, low)
		if !ok {
			k.cutOff(from, above)
			break
		}
		above.Z = w.Z
		for _, v := range moves(w, 0) {
			travel += xyDistance(from, v)
			m.moves, from = append(m.moves, v), v
		}
	}
	m.moves = append(m.moves, above)
	return travel + xyDistance(from, above)
}

// between is the quickest way between strokes; low if it may be at the hover
// height, as long as it stays over the picture and near.
func (k clamped) between(from, above Move, low bool) (detour.Way, bool) {
	m := k.of
	c := m.clearing
	best, ok := c.to(from, above, m.axes.hover)
	if !low {
		return best, ok
	}
	t := detour.Trip{From: from.point(), To: above.point(), FromZ: from.Z, ToZ: m.axes.hover}
	w, free := c.Quickest(t, []int32{m.axes.hover})
	if !free || w.Length(t) > model.NearStrokes*plane.PerMM || ok && best.Seconds < w.Seconds {
		return best, ok
	}
	for _, p := range w.Via {
		if !m.axes.overPicture(Move{X: p.X, Y: p.Y}, m.sheet) {
			return best, ok
		}
	}
	return w, true
}

// cutOff records that there is no way between two places. If a clamp stands over one
// of them, that is reported by itself.
func (k clamped) cutOff(from, to Move) {
	m := k.of
	for _, v := range [...]Move{from, to} {
		if m.clearing.Blocked(v.point(), v.point(), m.clearing.axes.safe) >= 0 {
			return
		}
	}
	if m.barrier.n++; m.barrier.n == 1 {
		m.barrier.clamp = max(m.clearing.Blocked(from.point(), to.point(), m.clearing.axes.rest.Z), 0)
		m.barrier.from, m.barrier.to = from, to
	}
}

// barrier is a clamp that nothing gets past.
type barrier struct {
	n        int
	clamp    int
	from, to Move
}

// meets records the clamps that stand where a stroke is painted.
func (k clamped) meets(s *Stroke) {
	m := k.of
	c := m.clearing
	if c == nil {
		return
	}
	painted := s.Moves[slices.IndexFunc(s.Moves, func(v Move) bool { return v.Feed > 0 }):]
	lowest := painted[0].Z
	for _, v := range painted {
		lowest = min(lowest, v.Z)
	}
	at := painted[0]
	for _, v := range painted {
		if i := c.Blocked(at.point(), v.point(), lowest); i >= 0 {
			q := m.axes.frame.ToSheet(plane.Point{X: v.X + m.axes.tipX, Y: v.Y + m.axes.tipY})
			if m.worst.clamps == nil {
				m.worst.clamps = make([]violation, len(c.clamps))
			}
			m.worst.clamps[i].add(1, "", 0, s, stroke.Point{X: q.X, Y: q.Y})
			m.worst.hits++
		}
		at = v
	}
}

// visits reports the clamps that stand where the brush is loaded in its well, or that
// are too high to be passed over on the way there.
func (k clamped) visits(v *Visit, well *model.Well) {
	m := k.of
	c := m.clearing
	if c == nil || v == nil || m.worst.visited {
		return
	}
	met := make([]struct{ well, strip bool }, len(c.clamps))
	for i, to := range v.Moves[1:] {
		from := v.Moves[i]
		switch at := c.Blocked(from.point(), to.point(), min(from.Z, to.Z)); {
		case at < 0:
		case v.RunIn > 0 && i+1 >= v.RunIn:
			met[at].strip = true
		default:
			met[at].well = true
		}
	}
	loaded, runIn := "the brush is loaded with "+well.Ink, "loads of "+well.Ink+" are run in on the scrap strip"
	for i, at := range met {
		switch {
		case at.well && at.strip:
			k.inVisit(i, loaded+" and where "+runIn, "the well and the scrap strip", well)
		case at.well:
			k.inVisit(i, loaded, "the well", well)
		case at.strip:
			k.inVisit(i, runIn, "the scrap strip", well)
		}
	}
	if m.worst.visited || !c.known {
		return
	}
	highest := 0
	for i, o := range c.obstacles {
		if o.Top > c.obstacles[highest].Top {
			highest = i
		}
	}
	k.visitProblem(highest, well,
		fmt.Sprintf("is too high: on its way to the well of %s the brush is lifted over all clamps, but never above rest z, %s mm", well.Ink, mm(m.machine.RestZ)),
		fmt.Sprintf("take a lower clamp, or state a rest z of at least %s mm if the machine can be lifted so far", mm(plane.MM(k.needed()))))
}

// inVisit reports a clamp that stands at a place to which a visit goes.
func (k clamped) inVisit(clamp int, place, move string, well *model.Well) {
	k.visitProblem(clamp, well, fmt.Sprintf("stands where %s: %s", place, k.inItsWay()), "move the clamp or "+move+", or take a lower clamp")
}

// visitProblem reports a clamp that no visit of a well can pass.
func (k clamped) visitProblem(clamp int, well *model.Well, what, fix string) {
	m := k.of
	m.worst.visited = true
	c := m.clearing.clamps[clamp]
	m.problems.Add(problem.Problem{Code: problem.ClampInWay, Place: c.Place,
		Message: fmt.Sprintf("the clamp %q %s", c.Name, what),
		Fix:     problem.Advise(fix),
		Related: []problem.Related{{Place: well.Place, Note: "the well"}}})
}

// reportClamps reports the clamps that stand where something is painted, and the
// first that nothing gets past.
func (k clamped) report() {
	m := k.of
	if m.clearing == nil {
		return
	}
	for i, v := range m.worst.clamps {
		if v.n == 0 {
			continue
		}
		p := problem.Problem{Code: problem.ClampInWay, Place: m.clearing.clamps[i].Place,
			Message: fmt.Sprintf("the clamp %q stands where the layer %q paints, in stroke %s at %s mm, %s mm on the sheet: %s", m.clearing.clamps[i].Name, m.layer.Name,
				strokeNumbers(v), mm(plane.MM(v.at.X)), mm(plane.MM(v.at.Y)), k.inItsWay()),
			Fix: problem.Advise(k.advice())}
		if v.place.Known() {
			p.Related = []problem.Related{{Place: v.place, Note: "painted there"}}
		}
		m.problems.Add(p)
	}
	if b := m.barrier; b.n > 0 {
		clamp := m.clearing.clamps[b.clamp]
		m.problems.Add(problem.Problem{Code: problem.NoWayRound, Place: clamp.Place,
			Message: fmt.Sprintf("the clamp %q, %s mm high, is in the way of the lifted brush from X %s Y %s to X %s Y %s, and there is no way round within the machine's reach", clamp.Name, mm(clamp.Height),
				mm(plane.MM(b.from.X)), mm(plane.MM(b.from.Y)), mm(plane.MM(b.to.X)), mm(plane.MM(b.to.Y))),
			Fix:     problem.Advise(fmt.Sprintf("move the clamp, or state a rest z of at least %s mm if the machine can be lifted so far: no program goes higher than that", mm(plane.MM(k.needed())))),
			Related: []problem.Related{{Place: m.machine.Place, Note: "the machine"}}})
	}
}

// needed is the rest z (grid steps) from which all clamps are passed over.
func (k clamped) needed() int32 {
	m := k.of
	return max(m.clearing.Over()-m.axes.rest.Z, m.axes.step) + plane.Snap(m.machine.RestZ)
}

// advice is what helps where a clamp stands on the picture.
func (k clamped) advice() string {
	text := "move the clamp or what is painted there"
	if k.of.machine.HolderHeight == 0 {
		text += "; if the holder ends well above the paper, measure its holder height"
	}
	return text
}

// inItsWay says what would meet a clamp.
func (k clamped) inItsWay() string {
	m := k.of
	text := "the holder is " + mm(m.machine.Holder) + " mm wide"
	if m.machine.HolderHeight > 0 {
		text += ", " + mm(m.machine.HolderHeight) + " mm above the tip,"
	}
	return text + " and " + mm(model.ClampClear) + " mm must stay clear"
}

// CheckClamps reports the clamps that stand where a layer's brush is touched off,
// where marks are read with it, or where the machine rests.
func CheckClamps(marks []model.Mark, layer *model.Layer, sheet *model.Sheet, machine *model.Machine, lie Lie) (problems problem.List) {
	m := newPlanner(layer, sheet, machine, lie)
	k, c := clamped{m}, m.clearing
	if c == nil {
		return nil
	}
	at := func(v plane.Point, z int32, what string, place source.Place, note string) {
		i := c.Blocked(v, v, z)
		if i < 0 {
			return
		}
		p := problem.Problem{Code: problem.ClampInWay, Place: c.clamps[i].Place, Message: fmt.Sprintf("the clamp %q stands where %s: %s", c.clamps[i].Name, what, k.inItsWay()),
			Fix: problem.Advise("move the clamp, or choose another place")}
		if place.Known() {
			p.Related = []problem.Related{{Place: place, Note: note}}
		}
		problems.Add(p)
	}
	at(m.axes.rest.point(), m.axes.safe, "the machine rests", machine.Place, "the machine")
	if g := m.axes.ground(sheet); g != nil {
		at(g.At.point(), 0, "brushes are touched off", sheet.Place, "the sheet")
	}
	rest := Move{X: m.axes.rest.X, Y: m.axes.rest.Y, Z: m.axes.safe}
	for _, mark := range marks {
		x, y := m.axes.position(plane.At(mark.X, mark.Y))
		if _, ok := c.to(rest, Move{X: x, Y: y}, m.axes.safe); !ok && c.Blocked(plane.Point{X: x, Y: y}, plane.Point{X: x, Y: y}, 0) < 0 {
			k.cutOff(rest, Move{X: x, Y: y})
		}
		at(plane.Point{X: x, Y: y}, 0, fmt.Sprintf("the mark %q is measured", mark.Name), mark.Place, "the mark")
	}
	k.report()
	return append(problems, m.problems...)
}

// length is how far it is to the place to rest, in mm.
func (r Retreat) length(at, rest Move) (length float64) {
	for _, v := range r.Via {
		length += xyDistance(at, v)
		at = v
	}
	return length + xyDistance(at, rest)
}
