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
			units[i].inStages(o)
		}
	}
	return units
}

// inStages orders the gestures of one shape: the lanes by themselves, then the
// others from where the lanes end; with EdgesFirst the others come first.
func (u *unit) inStages(o Options) {
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
	for _, stage := range stages {
		if len(stage) == 0 {
			continue
		}
		t := tour{start: first(u.body[stage[0]])}
		switch {
		case len(body) > 0:
			t.start = last(body[len(body)-1])
		case o.By != model.ByTravel:
			t.start = hand{o.LeftHand}.corner(u.body)
		}
		for _, i := range stage {
			g := u.body[i]
			t.ends = append(t.ends, [2]plane.Point{first(g), last(g)})
			t.fixed = append(t.fixed, g.Kind == stroke.Corner || o.By != model.ByTravel)
		}
		t.plan()
		for _, k := range t.order {
			g := u.body[stage[k]]
			if t.flip[k] {
				g = reversed(g)
			}
			body, touches = append(body, g), append(touches, u.touches[stage[k]])
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
