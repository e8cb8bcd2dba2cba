package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/detour"
	"mahlstick/runner/plane"
)

// clearing is how lifted trips clear the clamps; nil where there are none.
type clearing struct {
	*detour.Field
	axes      *axes
	clamps    []model.Clamp
	body      detour.Body
	obstacles []detour.Obstacle
	// start is the height to which a program lifts first, wherever the machine is:
	// over all clamps if it may lift so far. Else known is true, and the
	// machine is taken to be at its place to rest.
	start int32
	known bool
}

// newClearing is how a brush on a machine clears the clamps of a sheet.
func newClearing(a *axes, brush *model.Brush, sheet *model.Sheet, machine *model.Machine) *clearing {
	if len(sheet.Clamps) == 0 {
		return nil
	}
	var obstacles []detour.Obstacle
	for i := range sheet.Clamps {
		obstacles = append(obstacles, detour.Obstacle{Corners: a.corners(&sheet.Clamps[i]), Top: a.up(sheet.Clamps[i].Height + sheet.Rise())})
	}
	half, hair := plane.Snap(machine.Holder/2), plane.Snap(brush.WidestMark/2)
	body := detour.Body{
		Holder: plane.Around(plane.Point{}, half),
		Brush: plane.Box{Min: plane.Point{X: min(0, a.tipX) - hair, Y: min(0, a.tipY) - hair},
			Max: plane.Point{X: max(0, a.tipX) + hair, Y: max(0, a.tipY) + hair}},
		Under: a.down(machine.HolderHeight), Clear: plane.Snap(model.ClampClear),
	}
	motion := detour.Motion{Travel: machine.TravelFeed, Along: machine.Acceleration, Feed: [3]float64{2: machine.ZFeed}}
	if m := machine.Motion; m != nil {
		motion.Along, motion.Feed, motion.Acceleration = 0, m.Feed, m.Acceleration
	}
	c := &clearing{Field: detour.New(obstacles, body, motion, a.frame.reach(machine.ReachX, machine.ReachY), a.step), axes: a, clamps: sheet.Clamps, body: body, obstacles: obstacles, start: a.safe}
	if over := c.Over(); over <= a.rest.Z {
		c.start = max(c.start, over)
	} else {
		c.known = true
	}
	return c
}

// corners are where a clamp stands, in the machine's axes: it moves with the sheet
// or, on the bed, only with a lost zero.
func (a *axes) corners(c *model.Clamp) []plane.Point {
	var out []plane.Point
	for _, p := range c.Corners() {
		q := plane.At(p[0], p[1])
		if c.OnBed {
			q.X, q.Y = q.X+a.zero.X, q.Y+a.zero.Y
		} else {
			q = a.frame.ToMachine(q)
		}
		out = append(out, q)
	}
	return out
}

func (v Move) point() plane.Point { return plane.Point{X: v.X, Y: v.Y} }

// to is the quickest way from a lifted place to another, at the safe height or
// higher; false if there is none.
func (c *clearing) to(from, to Move, toZ int32) (detour.Way, bool) {
	t := detour.Trip{From: from.point(), To: to.point(), FromZ: from.Z, ToZ: toZ}
	return c.Quickest(t, c.Heights(c.axes.safe, c.axes.rest.Z))
}

// moves are the moves of a way across at a feed, without the last.
func moves(w detour.Way, feed int32) []Move {
	var out []Move
	for _, p := range w.Via {
		out = append(out, Move{X: p.X, Y: p.Y, Z: w.Z, Feed: feed})
	}
	return out
}

// Clamps are what a program says of the clamps that it clears, in grid steps of
// the machine's axes.
type Clamps struct {
	Holder, Brush plane.Box // around the axis
	Under, Clear  int32
	Clamps        []Clamp
	FromRest      bool // the program must be started with the machine at its place to rest
}

// Clamp is a clamp on the bed.
type Clamp struct {
	Name    string
	Corners []plane.Point
	Top     int32
}

// plain is what a program says of the clamps.
func (c *clearing) plain() *Clamps {
	if c == nil {
		return nil
	}
	out := &Clamps{Holder: c.body.Holder, Brush: c.body.Brush, Under: c.body.Under, Clear: c.body.Clear, FromRest: c.known}
	for i, o := range c.obstacles {
		out.Clamps = append(out.Clamps, Clamp{c.clamps[i].Name, o.Corners, o.Top})
	}
	return out
}

// covers reports whether a clamp stands where a register mark would be painted.
func (c *clearing) covers(a axes, m model.Mark) bool {
	if c == nil {
		return false
	}
	deep, half := a.lowest, m.Size/2
	at := func(x, y float64) plane.Point {
		u, v := a.position(plane.At(x, y))
		return plane.Point{X: u, Y: v}
	}
	return c.Blocked(at(m.X-half, m.Y), at(m.X+half, m.Y), deep) >= 0 || c.Blocked(at(m.X, m.Y-half), at(m.X, m.Y+half), deep) >= 0
}
