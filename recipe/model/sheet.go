package model

import (
	"mahlstick/recipe/bed"
	"mahlstick/recipe/seating"
	"mahlstick/recipe/source"
)

// Sheet is the paper. x runs right and y up from its lower left corner.
type Sheet struct {
	Size          string // as a painter says it: "A4 portrait", "210 x 297 mm"
	Width, Height float64
	Margin        float64
	Paper, Grain  string // words, may be ""
	Lay           Corner // the corner that is the machine's zero
	Turned        int    // quarter turns counter-clockwise of the sheet on the bed, 0 to 3
	// Growth is how the sheet may have grown when its marks are read again, and
	// GrowthStated whether the recipe says so; Misfit is how far a mark may then be
	// from its place.
	Growth       seating.Growth
	GrowthStated bool
	Misfit       float64
	TouchOff     TouchOff
	// Surface is the height of the paper over the place of touching off; nil if
	// the recipe states no heights, or not where brushes are touched off.
	Surface *bed.Surface
	Clamps  []Clamp // what stands in the way of brush and holder
	Place   source.Place
}

// Clamp is a clamp, a stop or a tape: a box with its sides along the edges of the
// sheet, with which it moves, or along the axes of the machine.
type Clamp struct {
	Name          string
	X, Y          float64 // of its lower left corner, on the sheet or on the bed
	Width, Length float64 // along x and y
	Height        float64 // over the paper; uncertainty is added
	OnBed         bool    // X and Y are the machine's, counted from the zero of the first layer
	Place         source.Place
}

// Corners are the corners of a clamp, one after the other, counted as X and Y are.
func (c *Clamp) Corners() [4][2]float64 {
	return [4][2]float64{{c.X, c.Y}, {c.X + c.Width, c.Y}, {c.X + c.Width, c.Y + c.Length}, {c.X, c.Y + c.Length}}
}

// ClampClear (mm) is how much is kept clear beside and above clamps. Common
// practice, no source.
const ClampClear = 1.0

// TouchOff is the place on the sheet where each brush is touched off, if it is
// stated.
type TouchOff struct {
	Stated bool
	X, Y   float64
}

// Rise is how much the paper is at most higher, anywhere on the sheet, than at
// the place of touching off.
func (s *Sheet) Rise() float64 {
	if s.Surface == nil {
		return 0
	}
	_, high := s.Surface.Range()
	return max(high, 0)
}
