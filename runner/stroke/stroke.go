// Package stroke makes gestures: paths on the sheet with a press at every
// point, and the list of what could not be painted as drawn.
//
// The axis of a region, with the radius of the largest disc around each of its
// points, is cut into the fewest long paths; where it is wider than the brush,
// lanes fill it. The press at a point is the one whose mark is as wide as the
// disc. The result does not depend on the clock, the number of processors or
// the order in which they finish.
package stroke

import (
	"mahlstick/recipe/source"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// Point is a point of a gesture.
type Point struct {
	X, Y int32 // grid steps on the sheet: x to the right, y up from its lower left corner
	// Press is how far the brush is pressed below the first touch, in mm.
	Press float64
	// Width of the mark at this press, in mm.
	Width float64
}

// Plane is the point without its press.
func (p Point) Plane() plane.Point { return plane.Point{X: p.X, Y: p.Y} }

func (p Point) xy() vector.XY { return p.Plane().XY() }

// Kind is what a gesture is for.
type Kind int8

// The kinds of gesture.
const (
	Main      Kind = iota // a stroke along the axis of a shape
	Corner                // a touch that squares a corner, shorter than the mark is wide there
	Lane                  // a pass that fills a place wider than the brush
	Line                  // an open centre line as drawn
	Check                 // a mark of the check strip
	Register              // an arm of a painted register mark
	TrialMark             // a mark of a swatch sheet, painted as it is given
)

// CrossArms is how many strokes a painted register mark has.
const CrossArms = 4

func (k Kind) String() string {
	return [...]string{"stroke", "corner", "lane", "line", "check mark", "register mark", "trial mark"}[k]
}

// Gesture is one contact of brush and paper, from press to lift.
type Gesture struct {
	Kind  Kind
	Shape int // number of the drawn shape, from 0
	// Points of the path; the press runs evenly from one to the next. A single
	// point is a dab; a path that ends where it began is a closed one.
	Points []Point
	Place  source.Place // the shape in its drawing file
	Trial  *Trial       // of a TrialMark, else nil
	// Begun is what is left of a stroke whose beginning was painted before;
	// Unfinished is a beginning whose rest is painted later.
	Begun, Unfinished bool
	// Skipped and Left are the shares of the whole stroke's way that were painted
	// before and are painted later.
	Skipped, Left float64
	Reload        bool // the brush is loaded before it
}

// Trial is how a mark of a swatch sheet is painted. Its presses may be less than
// 0: then the brush moves above the paper.
type Trial struct {
	Name  string
	Feed  float64 // mm/min
	Wait  float64 // s that the brush stays at the last point
	Pause string  // what the painter does before this mark, while the machine waits at its place to rest; "" to go on
}

// OfPicture reports whether gestures of the kind belong to what was drawn.
func (k Kind) OfPicture() bool { return k != Check && k != Register }

// Reason is why something drawn is not painted as drawn.
type Reason int8

// The reasons, a closed list.
const (
	HeldBack    Reason = iota // painted, but narrower than drawn: the brush has to keep its reserve of press
	TooThin                   // narrower than the lightest mark: not painted, or painted with the lightest touch
	TooSmall                  // smaller than the job's tolerance: not painted, as it would not be seen
	Unpromised                // painted, but thinner than the thinnest sure line of this brush and machine
	Slowed                    // painted, but with the feed lowered so that Z keeps up
	Lengthened                // painted, but with a longer entry or exit, so that Z keeps up
	TooSteep                  // painted, but narrower than drawn: the brush may not be pressed so steeply
	Unconcealed               // painted as drawn, the entry or exit not concealed
	Rounded                   // a small corner that the recipe leaves round

	reasons
)

func (r Reason) String() string {
	return [...]string{"held back", "too thin", "too small", "not promised", "slowed", "longer entry", "too steep", "not concealed", "left round"}[r]
}

// Reasons lists all reasons in their order.
func Reasons() []Reason {
	out := make([]Reason, reasons)
	for i := range out {
		out[i] = Reason(i)
	}
	return out
}

// Remark is a place where what is painted is not quite what was drawn.
type Remark struct {
	Reason Reason
	Shape  int
	At     plane.Point  // a point of the place, on the sheet: the widest, or the middle of what is thin
	Area   float64      // mm² that are not painted
	Length float64      // mm of path concerned
	Width  float64      // mm, as drawn: the greatest, or the mean of what is thin
	Feed   float64      // mm/min, the lowest, if Slowed; else 0
	Place  source.Place // the shape in its drawing file
}

// Plan is a layer as gestures, with its areas in mm²: what was drawn is
// painted, or refused for one of the reasons. Where shapes overlap, the area of
// each counts.
type Plan struct {
	Gestures []Gesture // by shape; in a shape, lanes first, then strokes with their corners
	Remarks  []Remark  // by shape, then reason
	// Shapes is the number of drawn shapes, UnpaintedShapes the number of those
	// without a gesture; each of these has a remark.
	Shapes, UnpaintedShapes int
	Drawn                   float64
	Refused                 [reasons]float64
	// Necks is the length, in mm, of the stretches that are thinner than the
	// lightest mark and painted although the recipe leaves hairlines, because
	// each is shorter than that mark is wide.
	Necks float64
	// Twice is the area in mm² along the branches that a stroke goes over twice:
	// out into a corner, and back.
	Twice float64
}

// Painted is what is painted of what was drawn, in mm².
func (p *Plan) Painted() float64 {
	left := p.Drawn
	for _, r := range p.Refused {
		left -= r
	}
	return max(left, 0)
}

// Count is how many gestures are of a kind.
func (p *Plan) Count(k Kind) int {
	n := 0
	for _, g := range p.Gestures {
		if g.Kind == k {
			n++
		}
	}
	return n
}
