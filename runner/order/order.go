// Package order decides which gesture comes next and from which end it is
// painted: so that the lifted brush travels little, as the drawing has it, or as
// a hand writes.
//
// A first tour always continues at the nearest end. It is improved by reversing
// stretches (2-opt: G. A. Croes, Operations Research 6, 1958, 791-812) and by
// moving short stretches elsewhere (Or-opt: I. Or, dissertation, Northwestern
// University, 1976, from memory), over short lists of near ends as in J. L.
// Bentley, ORSA J. Computing 4, 1992, 387-411. Small tours are perturbed and
// improved again (O. Martin, S. W. Otto, E. W. Felten, Complex Systems 5, 1991,
// 299-326). All work is counted and all choices are fixed, so that the same
// gestures always come in the same order.
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
//  2. Check marks come first, then the arms of register marks, all as given.
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
	var out, rest []stroke.Gesture
	for _, g := range gestures {
		if !g.Kind.OfPicture() {
			out = append(out, g)
		} else {
			rest = append(rest, g)
		}
	}
	t := tour{start: o.Start, returns: o.Return}
	before := o.Start
	if len(out) > 0 {
		t.start, t.returns = last(out[len(out)-1]), false
		before = t.start
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
		units = shortest(group(pulled(rest, o), o), t)
	}
	units = o.Drying.sort(units, before)
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
	for _, u := range units {
		t.ends = append(t.ends, [2]plane.Point{u.first(), u.last()})
		t.fixed = append(t.fixed, u.fixed)
	}
	t.plan()
	out := make([]unit, len(units))
	for k, i := range t.order {
		out[k] = units[i]
		out[k].turned = t.flip[i]
	}
	return out
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
		at, from = units[to-1].last(), to
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
// as listed.
func Travel(gestures []stroke.Gesture, o Options) float64 {
	sum, at := 0.0, o.Start
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		sum += plane.Distance(at, first(g))
		at = last(g)
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
