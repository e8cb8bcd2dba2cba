// Package order decides which gesture comes next, so that the lifted brush
// travels little.
//
// A tour is begun at the nearest end and then improved by turning stretches
// round (2-opt: G. A. Croes, Operations Research 6, 1958, 791-812) and by
// moving short stretches elsewhere (Or-opt: I. Or, dissertation, Northwestern
// University, 1976, from memory), over short lists of near ends as in
// J. L. Bentley, ORSA J. Computing 4, 1992, 387-411. Small tours are shaken and
// improved again (O. Martin, S. W. Otto, E. W. Felten, Complex Systems 5, 1991,
// 299-326). All work is counted and all choices are fixed, so that the same
// gestures always come in the same order.
package order

import (
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Options say where the brush comes from and what must stay. The zero Options
// start at the sheet's lower left corner, end anywhere and may paint a stroke
// from either end.
type Options struct {
	Start plane.Point // where the brush is at first
	// Return adds the way back to Start.
	Return bool
	// EdgesFirst paints what is no lane of a shape before its lanes.
	EdgesFirst bool
}

// Sort returns the gestures in the order of painting, some of them turned
// round; the list that is handed in stays as it is.
//
//  1. Every gesture comes exactly once.
//  2. Check marks come first, as given.
//  3. A corner touch comes after the main gesture of its shape that it was
//     listed behind, with nothing but other such touches between; one listed
//     behind a lane is an edge of its own. It is never turned round, so that
//     the brush is pulled into the corner.
//  4. Where a shape has lanes, they come before all else of it, or after it with
//     EdgesFirst, and nothing of other shapes between.
//  5. The same list gives the same order on every processor.
func Sort(gestures []stroke.Gesture, o Options) []stroke.Gesture {
	gestures = slices.DeleteFunc(slices.Clone(gestures), func(g stroke.Gesture) bool { return len(g.Points) == 0 })
	var out, rest []stroke.Gesture
	for _, g := range gestures {
		if g.Kind == stroke.Check {
			out = append(out, g)
		} else {
			rest = append(rest, g)
		}
	}
	t := tour{start: o.Start, returns: o.Return}
	if len(out) > 0 {
		t.start, t.returns = last(out[len(out)-1]), false
	}
	units := group(rest, o)
	for _, u := range units {
		t.ends = append(t.ends, [2]plane.Point{u.first(), u.last()})
		t.fixed = append(t.fixed, u.fixed)
	}
	t.plan()
	for k, i := range t.order {
		out = units[i].paint(out, t.flip[i], t.out(k-1))
	}
	return out
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
