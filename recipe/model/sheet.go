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
	Place   source.Place
}

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
