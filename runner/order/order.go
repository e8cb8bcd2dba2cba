// Package order decides which gesture comes next and from which end it is
// painted: so that the lifted brush travels little, as the drawing has it, or as
// a hand writes.
//
// A first tour always continues at the nearest end. It is improved by chains of
// exchanges (S. Lin, B. W. Kernighan, Operations Research 21, 1973, 498-516), over
// short lists of near ends as in J. L. Bentley, ORSA J. Computing 4, 1992,
// 387-411. Then it is perturbed and improved again, many times (O. Martin, S. W.
// Otto, E. W. Felten, Complex Systems 5, 1991, 299-326); tours of more than 4,000
// units in parts, side by side. All work is counted and all choices are fixed, so
// that the same gestures always come in the same order.
package order

import (
	"cmp"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Options of Sort and Travel. With the zero Options the brush starts at the
// sheet's lower left corner and ends anywhere.
type Options struct {
	Start plane.Point // where the brush is before the first gesture
	// Return counts the way back to Start as travel.
	Return bool
	// By says what decides. With ByDrawing and ByHand the hand decides on the
	// directions, too: from left to right, from above to below, else from the thick
	// end. LeftHand mirrors that.
	By       model.Order
	LeftHand bool
	// EdgesFirst paints a shape's other gestures before its lanes, not after
	// them.
	EdgesFirst bool
	// Pulled lets the hand decide on the directions by travel, too.
	Pulled bool
	// Drying keeps strokes that touch apart in time; the zero Drying does not.
	Drying Drying
}

// Sort returns the gestures in the order of painting, some of them reversed. It
// does not change its argument.
//
//  1. Every gesture comes exactly once; one without points is left out.
//  2. Check marks come first, then register marks, all as given. Between check marks
//     and what comes next the brush goes back to Start.
//  3. A corner touch follows the main gesture after which it was listed, with
//     only other such touches between them; one listed after a lane is ordered
//     like any gesture of the shape. It is never reversed, so that the brush is
//     pulled into the corner.
//  4. A shape with lanes is painted without interruption, its lanes first, or
//     last with EdgesFirst.
//  5. ByDrawing keeps the order of the shapes, and open lines as they are. What is
//     left to choose goes by travel.
//  6. The same list gives the same order on every processor.
func Sort(gestures []stroke.Gesture, o Options) []stroke.Gesture {
	gestures = slices.DeleteFunc(slices.Clone(gestures), func(g stroke.Gesture) bool { return len(g.Points) == 0 })
	var out, marks, rest []stroke.Gesture
	for _, g := range gestures {
		switch g.Kind {
		case stroke.Check:
			out = append(out, g)
		case stroke.Register:
			marks = append(marks, g)
		default:
			rest = append(rest, g)
		}
	}
	out = append(out, marks...)
	// After check marks the brush waits at Start.
	t := tour{start: o.Start, home: o.Start, returns: o.Return}
	if len(marks) > 0 {
		t.start = last(marks[len(marks)-1])
	}
	var units []unit
	switch o.By {
	case model.ByDrawing:
		units = inOrder(group(direct(rest, o), o), t.start, asDrawn)
	case model.ByHand:
		units = written(group(direct(rest, o), o), hand{o.LeftHand})
	case model.ByRows, model.FromHand:
		units = inOrder(withRows(group(direct(rest, o), o), o), t.start, sameRow)
	default:
		units = throughShapes(shortest(group(pulled(rest, o), o), t), t, o)
	}
	units = o.Drying.sort(units, t, o.By == model.ByTravel)
	for _, u := range units {
		out = u.paint(out)
	}
	return out
}

// pulled are gestures in the direction of the hand, if it decides.
func pulled(gestures []stroke.Gesture, o Options) []stroke.Gesture {
	if o.Pulled {
		return direct(gestures, o)
	}
	return gestures
}

// shortest puts units in the order of a short tour.
func shortest(units []unit, t tour) []unit {
	for i := range units {
		t.addUnit(&units[i])
	}
	t.plan()
	out := make([]unit, len(units))
	for k, i := range t.order {
		out[k] = units[i]
		out[k].turned = t.flip[i]
	}
	return out
}

// mostRounds is how often the order within shapes is fitted to that of the shapes,
// and that again to the first.
const mostRounds = 4

// throughShapes orders the gestures within each shape with lanes anew, now that it
// is known where the brush comes from and goes to, and then all units, as long as
// that saves travel.
func throughShapes(units []unit, t tour, o Options) []unit {
	for range mostRounds {
		changed, at := false, t.start
		for i := range units {
			u := &units[i]
			w := way{at, t.home, t.returns}
			if i+1 < len(units) {
				w.to, w.goesOn = units[i+1].entry(), true
			}
			if len(u.body) > 1 {
				other := *u
				other.inStages(o, &w)
				if other.travel(w) < u.travel(w)-leastGain {
					*u, changed = other, true
				}
			}
			at, _ = u.exit(u.turned)
		}
		if !changed {
			break
		}
		if again := shortest(slices.Clone(units), t); travel(again, t) < travel(units, t)-leastGain {
			units = again
		}
	}
	return units
}

// travel is that over units in their order, in grid steps.
func travel(units []unit, t tour) float64 {
	at, sum := t.start, 0.0
	for i := range units {
		w := way{at, t.home, t.returns && i+1 == len(units)}
		sum += units[i].travel(w)
		at, _ = units[i].exit(units[i].turned)
	}
	return sum
}

// inOrder puts units in the order of a comparison; equal ones come one after the
// other by a short tour, each from its first end. at is where the brush is before.
func inOrder(units []unit, at plane.Point, compare func(a, b *unit) int) []unit {
	slices.SortStableFunc(units, func(a, b unit) int { return compare(&a, &b) })
	for from := 0; from < len(units); {
		to := from + 1
		for to < len(units) && compare(&units[from], &units[to]) == 0 {
			to++
		}
		if to > from+1 {
			equal := slices.Clone(units[from:to])
			for i := range equal {
				equal[i].fixed = true
			}
			copy(units[from:to], shortest(equal, tour{start: at}))
		}
		at, _ = units[to-1].exit(false)
		from = to
	}
	return units
}

// asDrawn compares units by when they were drawn. An open line that is painted
// in several gestures keeps their order.
func asDrawn(a, b *unit) int {
	if shapes := cmp.Compare(a.body[0].Shape, b.body[0].Shape); shapes != 0 || a.body[0].Kind != stroke.Line || b.body[0].Kind != stroke.Line {
		return shapes
	}
	return cmp.Compare(a.number, b.number)
}

// Travel is how far the lifted brush goes, in mm, if the gestures are painted
// as listed, with the way to Start behind the check marks.
func Travel(gestures []stroke.Gesture, o Options) float64 {
	sum, at := 0.0, o.Start
	var before *stroke.Gesture
	for i := range gestures {
		g := &gestures[i]
		if len(g.Points) == 0 {
			continue
		}
		if before != nil && before.Kind == stroke.Check && g.Kind != stroke.Check {
			sum += plane.Distance(at, o.Start)
			at = o.Start
		}
		sum += plane.Distance(at, first(*g))
		at, before = last(*g), g
	}
	if o.Return {
		sum += plane.Distance(at, o.Start)
	}
	return sum / plane.PerMM
}

func first(g stroke.Gesture) plane.Point { return g.Points[0].Plane() }
func last(g stroke.Gesture) plane.Point  { return g.Points[len(g.Points)-1].Plane() }

func reversed(g stroke.Gesture) stroke.Gesture {
	g.Points = slices.Clone(g.Points)
	slices.Reverse(g.Points)
	return g
}
