package order

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// unit is what is painted in one go: a gesture with its corner touches, or all
// of a shape that has lanes.
type unit struct {
	body    []stroke.Gesture   // one gesture, or all those of a shape with lanes, in order
	touches [][]stroke.Gesture // corner touches after each gesture of the body
	fixed   bool               // may not be painted from its other end
	turned  bool               // is painted from its other end
	number  int                // its place in the order of first gestures
	row     int64              // for an order by rows
}

func (u *unit) first() plane.Point { return first(u.body[0]) }
func (u *unit) last() plane.Point  { return last(u.body[len(u.body)-1]) }

// entry is where the brush comes to the unit.
func (u *unit) entry() plane.Point {
	if u.turned {
		return u.last()
	}
	return u.first()
}

// touched reports whether the unit has corner touches.
func (u *unit) touched() bool {
	return slices.ContainsFunc(u.touches, func(touches []stroke.Gesture) bool { return len(touches) > 0 })
}

// exit is where the brush leaves the unit if it is painted from its last point,
// or from its first, and how far it travels within it, in grid steps.
func (u *unit) exit(turned bool) (at plane.Point, inside float64) {
	if !u.touched() {
		if turned {
			return u.first(), 0
		}
		return u.last(), 0
	}
	painted := *u
	painted.turned = turned && !u.fixed
	gestures := painted.paint(nil)
	for i, g := range gestures[1:] {
		inside += plane.Distance(last(gestures[i]), first(g))
	}
	return last(gestures[len(gestures)-1]), inside
}

// group makes units, in the order of their first gestures.
func group(gestures []stroke.Gesture, o Options) []unit {
	hasLanes := make(map[int]bool)
	for _, g := range gestures {
		if g.Kind == stroke.Lane {
			hasLanes[g.Shape] = true
		}
	}
	var units []unit
	ofShape := make(map[int]int) // the unit that takes the shape's next corner touch, or all of a shape with lanes
	for i, g := range gestures {
		k, known := ofShape[g.Shape]
		switch {
		case known && g.Kind == stroke.Corner && units[k].body[len(units[k].body)-1].Kind != stroke.Lane:
			u := &units[k]
			u.touches[len(u.touches)-1] = append(u.touches[len(u.touches)-1], g)
		case known && hasLanes[g.Shape]:
			u := &units[k]
			u.body, u.touches = append(u.body, g), append(u.touches, nil)
		default:
			ofShape[g.Shape] = len(units)
			fixed := g.Kind == stroke.Corner || hasLanes[g.Shape] || o.Pulled
			units = append(units, unit{body: gestures[i : i+1 : i+1], touches: make([][]stroke.Gesture, 1), fixed: fixed, number: len(units)})
		}
	}
	for i := range units {
		if len(units[i].body) > 1 {
			units[i].inStages(o, nil)
		}
	}
	return units
}

// way is where the brush comes from before a unit, and where it goes after it, if
// that counts.
type way struct {
	from, to plane.Point
	goesOn   bool
}

// travel is how far the brush goes over a unit's way, in grid steps.
func (u *unit) travel(w way) float64 {
	at, sum := w.from, 0.0
	for _, g := range u.paint(nil) {
		sum += plane.Distance(at, first(g))
		at = last(g)
	}
	if w.goesOn {
		sum += plane.Distance(at, w.to)
	}
	return sum
}

// inStages orders the gestures of one shape: the lanes by themselves, then the
// others from where the lanes end; with EdgesFirst the others come first. w is where
// the brush comes from and goes to; nil if that is not known yet.
func (u *unit) inStages(o Options, w *way) {
	var stages [2][]int
	for i, g := range u.body {
		stage := 0
		if (g.Kind == stroke.Lane) == o.EdgesFirst {
			stage = 1
		}
		stages[stage] = append(stages[stage], i)
	}
	var body []stroke.Gesture
	var touches [][]stroke.Gesture
	var at plane.Point // where the brush is after those
	for _, stage := range stages {
		if len(stage) == 0 {
			continue
		}
		t := tour{start: first(u.body[stage[0]])}
		switch {
		case len(body) > 0:
			t.start = at
		case w != nil:
			t.start = w.from
		case o.By != model.ByTravel:
			t.start = hand{o.LeftHand}.corner(u.body)
		}
		if w != nil && len(body)+len(stage) == len(u.body) {
			t.home, t.returns = w.to, w.goesOn
		}
		units := make([]unit, 0, len(stage))
		for _, i := range stage {
			fixed := u.body[i].Kind == stroke.Corner || o.By != model.ByTravel
			units = append(units, unit{body: u.body[i : i+1], touches: u.touches[i : i+1], fixed: fixed})
		}
		for _, part := range shortest(units, t) {
			g := part.body[0]
			if part.turned {
				g = reversed(g)
			}
			body, touches = append(body, g), append(touches, part.touches[0])
			at, _ = part.exit(part.turned)
		}
	}
	u.body, u.touches = body, touches
}

// paint appends the unit's gestures. Only a unit of one gesture is turned: one
// of several is fixed. The touches after a gesture come by
// distance, the nearest first.
func (u *unit) paint(out []stroke.Gesture) []stroke.Gesture {
	for i, g := range u.body {
		if u.turned {
			g = reversed(g)
		}
		out = append(out, g)
		at := last(g)
		touches := slices.Clone(u.touches[i])
		for len(touches) > 0 {
			nearest := 0
			for k := range touches {
				if plane.Distance(at, first(touches[k])) < plane.Distance(at, first(touches[nearest])) {
					nearest = k
				}
			}
			out = append(out, touches[nearest])
			at = last(touches[nearest])
			touches = slices.Delete(touches, nearest, nearest+1)
		}
	}
	return out
}
