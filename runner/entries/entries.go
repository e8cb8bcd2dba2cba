// Package entries shapes how the brush comes down at the beginning of a stroke
// and lifts at its end, and keeps it from being pressed more steeply than it
// takes.
//
// A concealed entry comes down with the lightest touch on the stroke's own way,
// goes back to the end while it is pressed, turns there and sets off; a
// concealed exit is the same in reverse. On a closed lap there is no end to go
// back to: the brush is pressed on its own way before the lap begins, and lifts
// on its own way after it. On these ways no press is deeper than the stroke's
// own press at the same place, so that nothing is painted that the stroke does
// not paint, and all of the stroke is painted as before.
package entries

import (
	"slices"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

const (
	// light (mm) is a press that needs no concealing: it is within the
	// uncertainty of touching off.
	light = 0.1
	// usual is how many mm the press of a concealed end changes a mm of way if
	// there is room, and steepest how many at most: a way that is steeper is as
	// good as straight down.
	usual, steepest = 1.0, 8.0
	// limitShare is the share of the brush's limit that is used. The rest allows
	// for the rounding of coordinates, and for corners that are cut.
	limitShare = 0.95
	// passes is how often a concealed way goes along its stroke at most. More
	// than once it does so only to keep to the brush's limit.
	passes = 3
	// stillHeld (mm) is how much less than drawn a press must be to be listed.
	stillHeld = 0.01
)

// Shaper shapes the strokes of one layer.
type Shaper struct {
	curve     *brush.Curve
	lag       brush.Lag
	concealed bool
	limit     float64 // mm of press a mm of way as planned; 0 for none
	tolerance float64 // mm
}

// New makes a shaper for the strokes of a layer.
func New(layer *model.Layer) *Shaper {
	return &Shaper{
		curve: layer.Brush.Curve, lag: layer.Brush.Lag, concealed: layer.Entries == model.Concealed,
		limit: float64(layer.Brush.SteepestPress * limitShare), tolerance: layer.Tolerance,
	}
}

// Tally counts entries and exits.
type Tally struct {
	Entries, Exits int // that are concealed
	Light          int // entries and exits that are as light as a touch where they are drawn
	Straight       int // entries and exits that do not fit, so that they are as drawn
}

// Add adds another tally.
func (t *Tally) Add(u Tally) {
	t.Entries += u.Entries
	t.Exits += u.Exits
	t.Light += u.Light
	t.Straight += u.Straight
}

// Shaped is a stroke with its entry and exit.
type Shaped struct {
	stroke.Gesture
	// In and Out are the lengths (mm) of the concealed ways at the beginning and
	// at the end of the path, 0 for none.
	In, Out float64
	Tally   Tally
	// Remarks list ends that could not be concealed, and where the press is
	// held back.
	Remarks []stroke.Remark
}

// Shape returns a stroke as the brush is to be moved for it. A stroke that needs
// no shaping is returned as it is.
func (s *Shaper) Shape(g stroke.Gesture) Shaped {
	out := Shaped{Gesture: g}
	if len(g.Points) == 0 || !s.concealed && s.limit == 0 && !g.Begun {
		return out
	}
	exits := s.concealed
	if g.Begun && !s.concealed {
		// It comes down in the middle of a wet stroke: that is concealed always.
		concealing := *s
		concealing.concealed = true
		s = &concealing
	}
	b := body{points: g.Points, closed: closed(g.Points), rounds: 1}
	if s.limit > 0 {
		if s.concealed && len(b.points) == 1 && s.reach(b) < b.points[0].Press {
			b = s.dot(b)
		}
		b = s.keepLimit(b, &out)
	}
	out.Points = b.points
	if !s.concealed {
		return out
	}
	entry := s.end(b, true, &out)
	var exit []stroke.Point
	if exits {
		exit = s.end(b, false, &out)
	}
	if len(entry)+len(exit) == 0 {
		return out
	}
	slices.Reverse(entry)
	out.In = wayLength(append(slices.Clone(entry), b.points[0]))
	out.Out = wayLength(append([]stroke.Point{b.points[len(b.points)-1]}, exit...))
	out.Points = slices.Concat(entry, b.points, exit)
	return out
}

// body is the path of a stroke between its entry and its exit.
type body struct {
	points []stroke.Point
	closed bool // it returns to its start
	rounds int  // how often a concealed way may go along it
}

func closed(points []stroke.Point) bool {
	n := len(points)
	return n > 2 && points[0].Plane() == points[n-1].Plane() && points[0].Press == points[n-1].Press
}

// away is the path that leads away from the beginning of the body, or from its
// end, over the body itself: where a concealed way may lie.
func (b body) away(entry bool) []stroke.Point {
	once := b.points
	// The way to the entry of a lap comes before it, so it is the lap's end.
	if entry == b.closed {
		once = slices.Clone(once)
		slices.Reverse(once)
	}
	path := once
	for range b.rounds - 1 {
		if !b.closed { // turn back at the other end
			once = slices.Clone(once)
			slices.Reverse(once)
		}
		path = append(path[:len(path):len(path)], once[1:]...)
	}
	return path
}

// end conceals the beginning or the end of a body. It returns the points of the
// way from there to where the brush comes down or lifts.
func (s *Shaper) end(b body, entry bool, out *Shaped) []stroke.Point {
	at := b.points[0]
	most := s.limit
	if !entry {
		at, most = b.points[len(b.points)-1], 0 // lifting has no limit
	}
	if at.Press <= light && (most == 0 || at.Press == 0) {
		out.Tally.Light++
		return nil
	}
	path := b.away(entry)
	way, ok := s.way(path, s.beyond(path, b.closed), most)
	switch {
	case !ok:
		out.Tally.Straight++
		out.Remarks = append(out.Remarks, stroke.Remark{Reason: stroke.Unconcealed, Shape: out.Shape, At: at.Plane(), Width: at.Width, Place: out.Place})
		return nil
	case entry:
		out.Tally.Entries++
	default:
		out.Tally.Exits++
	}
	return way
}

// way finds the points of a concealed way along a path, and beyond the end of
// it, on which the press falls to nothing from that of the first point, as
// gently as there is room for.
func (s *Shaper) way(path []stroke.Point, b beyond, most float64) ([]stroke.Point, bool) {
	low, high := usual, steepest
	if most > 0 {
		low, high = min(low, most), most
	}
	if way, ok := s.falling(path, b, low, most); ok {
		return way, true
	}
	way, ok := s.falling(path, b, high, most)
	if !ok {
		return nil, false
	}
	for range 20 { // to a millionth of the range
		slope := (low + high) / 2
		if w, ok := s.falling(path, b, slope, most); ok {
			high, way = slope, w
		} else {
			low = slope
		}
	}
	return way, true
}

// falling is the way along a path on which the press falls by slope (mm a mm),
// and is nowhere deeper than that of the path; where the path's own press falls
// by more than most, if that is not 0, there is none. The first point of the
// path is not part of the way.
func (s *Shaper) falling(path []stroke.Point, b beyond, slope, most float64) (way []stroke.Point, ok bool) {
	press := path[0].Press
	for i := 1; i < len(path); i++ {
		from, to := path[i-1], path[i]
		d := between(from, to)
		if fall := float64(slope * d); fall >= press && d > 0 {
			return append(way, s.point(lerp(from, to, press/fall), 0)), true
		}
		next := min(press-float64(slope*d), to.Press)
		if most > 0 && press-next > float64(most*d)+stepPress {
			return nil, false
		}
		press = next
		way = append(way, s.point(to, press))
		if press == 0 {
			return way, true
		}
	}
	reach := press / slope
	if !b.holds(press, reach) {
		return nil, false
	}
	return append(way, s.point(b.point(reach), 0)), true
}

// stepPress (mm) is a difference of presses that is nothing but rounding.
const stepPress = 1e-9

// point is a point of a way with a press.
func (s *Shaper) point(p stroke.Point, press float64) stroke.Point {
	return withPress(p, press, s.curve)
}

func withPress(p stroke.Point, press float64, curve *brush.Curve) stroke.Point {
	p.Press = press
	if w, err := curve.WidthAt(min(press, curve.SafePress())); err == nil {
		p.Width = w
	}
	return p
}

// lerp is the point a share t of the way from p to q.
func lerp(p, q stroke.Point, t float64) stroke.Point {
	return stroke.Point{X: plane.Lerp(p.X, q.X, t), Y: plane.Lerp(p.Y, q.Y, t)}
}

// between is a distance in mm.
func between(p, q stroke.Point) float64 { return plane.Distance(p.Plane(), q.Plane()) / plane.PerMM }

// wayLength is the length of a path in mm.
func wayLength(points []stroke.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += between(points[i-1], points[i])
	}
	return sum
}
