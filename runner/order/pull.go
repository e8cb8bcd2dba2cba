package order

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// hand says from which end a gesture is pulled: from left to right and from
// above to below, as the hair of a brush wants it (common practice, no source).
// A left hand does the same in a mirror.
type hand struct{ left bool }

// at is a point as the hand sees it: along in its direction of writing, and
// down.
func (h hand) at(p plane.Point) [2]int64 {
	if h.left {
		return [2]int64{-int64(p.X), -int64(p.Y)}
	}
	return [2]int64{int64(p.X), -int64(p.Y)}
}

// corner is the upper left corner of the box around gestures, or the upper right
// one for a left hand.
func (h hand) corner(gestures []stroke.Gesture) plane.Point {
	box := plane.Empty()
	for _, g := range gestures {
		for _, p := range g.Points {
			box.Add(p.Plane())
		}
	}
	if h.left {
		return box.Max
	}
	return plane.Point{X: box.Min.X, Y: box.Max.Y}
}

// A stroke that climbs less than flat (rise to run) goes with the writing, one
// that leans less than steep (run to rise) goes down. What is between them, up
// to the right or down to the left, begins at its thick end: a flick climbs,
// a falling stroke tapers downwards. Both are angles between those at which
// published strokes of these kinds lie; see the tests.
const (
	flatTenths  = 4
	steepTenths = 4
)

// pulled returns the gesture in the direction in which a hand paints it.
func (h hand) pulled(g stroke.Gesture) stroke.Gesture {
	if len(g.Points) < 2 {
		return g
	}
	if first(g) == last(g) {
		return h.round(g)
	}
	if h.backwards(g) {
		return reversed(g)
	}
	return g
}

// backwards reports whether an open gesture is to be painted from its other end.
func (h hand) backwards(g stroke.Gesture) bool {
	dx, dy := h.drift(g)
	switch run, fall := max(dx, -dx), max(dy, -dy); {
	case dx >= 0 && dy >= 0:
		return false
	case dx <= 0 && dy <= 0:
		return true
	case 10*fall < flatTenths*run:
		return dx < 0
	case 10*run < steepTenths*fall:
		return dy < 0
	}
	switch thick := thickEnd(g); thick {
	case 0:
		return dy < 0
	default:
		return thick > 0
	}
}

// drift is how far the later part of a gesture lies from the earlier, along and
// down: the moment of its places about the middle of its way. Where it goes out
// into a corner and comes back, at an end too, hardly counts.
func (h hand) drift(g stroke.Gesture) (dx, dy float64) {
	from, half, walked := h.at(first(g)), pathLength(g)/2, 0.0
	for i, q := range g.Points[1:] {
		p := g.Points[i]
		u, v, d := h.at(p.Plane()), h.at(q.Plane()), plane.Distance(p.Plane(), q.Plane())
		arm, own := float64(d*(walked+d/2-half)), float64(d*d)/12
		dx += float64(arm*float64(u[along]+v[along]-2*from[along])/2) + float64(own*float64(v[along]-u[along]))
		dy += float64(arm*float64(u[down]+v[down]-2*from[down])/2) + float64(own*float64(v[down]-u[down]))
		walked += d
	}
	return dx, dy
}

// alike is how far the middle of a mark's area may be from the middle of its
// path, as a share of the path, while neither half counts as the thick one: one
// 2 % wider than the other moves it so far.
const alike = 1.0 / 400

// thickEnd is -1 if the first half of a gesture is the wider one, 1 if the second
// is, and 0 if neither is.
func thickEnd(g stroke.Gesture) int {
	length := pathLength(g)
	area, moment, walked := 0.0, 0.0, 0.0
	for i, q := range g.Points[1:] {
		p := g.Points[i]
		d := plane.Distance(p.Plane(), q.Plane())
		piece := float64(d * (p.Width + q.Width) / 2)
		area += piece
		// From the middle of the path; the width changes evenly along the piece.
		moment += float64(piece * (walked + d/2 - length/2))
		moment += float64(float64(d*d) * (q.Width - p.Width) / 12)
		walked += d
	}
	slack := float64(alike * float64(area*length))
	switch {
	case moment < -slack:
		return -1
	case moment > slack:
		return 1
	}
	return 0
}

func pathLength(g stroke.Gesture) float64 {
	sum := 0.0
	for i, q := range g.Points[1:] {
		sum += plane.Distance(g.Points[i].Plane(), q.Plane())
	}
	return sum
}

// round turns a ring so that it begins at its upper left and goes down first, as
// a round letter is written (common practice, no source). A path that goes out
// and comes back the same way has no such direction.
func (h hand) round(g stroke.Gesture) stroke.Gesture {
	box := plane.Empty()
	ring := make([]plane.Point, 0, len(g.Points)-1)
	for _, p := range g.Points[1:] {
		ring = append(ring, p.Plane())
		box.Add(p.Plane())
	}
	area := plane.Area2(ring)
	w, tall := int64(box.Max.X)-int64(box.Min.X), int64(box.Max.Y)-int64(box.Min.Y)
	// Half of the box, twice counted as the area is.
	if area == 0 || max(area, -area) < w*tall/2 {
		return g
	}
	if (area > 0) == h.left {
		g = reversed(g)
	}
	n := len(g.Points) - 1
	if g.Kind != stroke.Main || g.Points[0] != g.Points[n] {
		return g // it begins and ends as it was drawn, or tapers there
	}
	start, least := 0, int64(0)
	for i, p := range g.Points[:n] {
		q := h.at(p.Plane())
		if key := q[along] + q[down]; i == 0 || key < least {
			start, least = i, key
		}
	}
	g.Points = append(slices.Clone(g.Points[start:n]), g.Points[:start+1]...)
	return g
}

// direct returns the gestures in the direction of the hand. A touch into a
// corner keeps its own, and so does an open line that keeps that of the drawing.
func direct(gestures []stroke.Gesture, o Options) []stroke.Gesture {
	h := hand{o.LeftHand}
	out := slices.Clone(gestures)
	for i, g := range out {
		if g.Kind == stroke.Corner || g.Kind == stroke.Line && o.By == model.ByDrawing {
			continue
		}
		out[i] = h.pulled(g)
	}
	return out
}
