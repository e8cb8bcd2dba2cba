// Package stroke makes gestures: paths on the sheet with a press at every
// point, and the list of what could not be painted as drawn.
package stroke

import (
	"mahlstick/recipe/source"
	"mahlstick/runner/plane"
)

// Point is a point of a gesture.
type Point struct {
	X, Y int32 // grid steps on the sheet: x to the right, y up from its lower left corner
	// Press is how far the brush is pressed below the first touch, in mm.
	Press float64
	// Width of the mark at this press, in mm.
	Width float64
}

// Kind tells what a gesture is for.
type Kind int8

// The kinds of gesture.
const (
	Main   Kind = iota // a stroke along the axis of a shape
	Corner             // a touch that squares a corner, shorter than the mark is wide there
	Lane               // a pass that fills a place wider than the brush
	Line               // an open centre line as drawn
	Check              // a mark of the check strip
)

func (k Kind) String() string { return [...]string{"stroke", "corner", "lane", "line", "check mark"}[k] }

// Gesture is one contact of brush and paper, from press to lift.
type Gesture struct {
	Kind   Kind
	Shape  int // number of the drawn shape, from 0
	Points []Point
	Place  source.Place // the shape in its drawing file
}

// Reason is why something drawn is not painted as drawn.
type Reason int8

// The reasons, a closed list.
const (
	TooWide   Reason = iota // wider than the brush's widest mark, and not filled
	TooThin                 // narrower than the lightest mark, and hairlines are left
	TooSmall                // smaller than the job's tolerance: nothing would be seen
	Unpromised              // painted, but thinner than can be promised with this touch-off and bed
	Slowed                  // painted, but with the feed lowered so that Z keeps up
)

func (r Reason) String() string {
	return [...]string{"too wide", "too thin", "too small", "not promised", "slowed"}[r]
}

// Remark is a place where what is painted is not quite what was drawn.
type Remark struct {
	Reason Reason
	Shape  int
	At     plane.Point  // the worst point of the place, on the sheet
	Area   float64      // mm² that are not painted; 0 where all is painted
	Length float64      // mm of path concerned
	Width  float64      // mm: the drawn width at the worst point
	Place  source.Place // the shape in its drawing file
}
