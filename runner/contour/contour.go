// Package contour holds what a drawn contour is known by on its whole way:
// from the drawing file, where its points are in mm, onto the sheet and into
// regions, where they lie on the grid.
package contour

import (
	"mahlstick/recipe/colour"
	"mahlstick/recipe/source"
)

// Identity is embedded in every type of contour, so that it is handed on as a
// whole.
type Identity struct {
	// Rule and Group say which contours make one shape: those with a stated
	// rule and the same group, counted from 1. Group 0 is a contour by itself.
	Rule  FillRule
	Paint Paint // of its fill or its stroke
	// Filled says that the drawing has an area here, such as a hatch, and no line:
	// it is painted as one even where outlines are painted as lines.
	Filled bool
	Look   Look // of a line with a width
	Group  int
	// Shape is the contour's number among everything drawn on a layer, from 0,
	// register marks not counted; it is set when the layer lies on the sheet.
	// A shape of several contours goes by the number of its outermost, a group
	// by that of its first.
	Shape int
	Place source.Place // in the drawing file
}

// FillRule says which parts of a set of contours are inside.
type FillRule int8

// The rules. Unstated leaves it to the layer (holes by alternating depth).
const (
	Unstated FillRule = iota
	EvenOdd
	NonZero
)

// Inside reports whether a place around which the contours wind so many times is
// inside. Where no rule is stated it answers as NonZero.
func (r FillRule) Inside(winding int32) bool {
	if r == EvenOdd {
		return winding&1 != 0
	}
	return winding != 0
}

// Paint is the colour of a fill or a stroke.
type Paint struct {
	colour.RGB // the mean of a gradient; black where there is no colour
	Kind       PaintKind
	Clear      bool // what lies underneath shows through
	OfLayer    bool // it is that of the drawing layer, often only a help on the screen
}

// PaintKind says what a colour stands for.
type PaintKind uint8

// The kinds of paint. A shape with NoColour states none.
const (
	NoColour PaintKind = iota
	Plain
	Gradient
	Pattern
	Bare // paper: it hides what lies under it, and is never painted
)

// HasColour reports whether there is one colour to choose it by.
func (p Paint) HasColour() bool { return p.Kind == Plain || p.Kind == Gradient }

// Covers reports whether nothing shows through.
func (p Paint) Covers() bool { return p.Kind == Bare || p.HasColour() && !p.Clear }

// Colour is what shapes of one ink have in common: the colour alone, or that there
// is none.
func (p Paint) Colour() Paint {
	if !p.HasColour() {
		return Paint{}
	}
	return Paint{RGB: p.RGB, Kind: Plain}
}

// String names a paint for a message: #rrggbb, or none.
func (p Paint) String() string {
	if !p.HasColour() {
		return "none"
	}
	return p.RGB.String()
}
