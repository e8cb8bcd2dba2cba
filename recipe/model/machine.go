package model

import "mahlstick/recipe/source"

// Machine is the bench machine.
type Machine struct {
	Title      string
	ReachX     float64 // travel along X from the lay corner
	ReachY     float64
	ReachZ     float64 // travel along Z, from the safe height down
	SafeHeight float64 // height of the tip above the paper while it travels
	// Hover is the height of the tip down to which it goes by a rapid, and at
	// which it travels between near strokes; 0 for the safe height.
	Hover        float64
	AirRun       float64 // mm over the paper of the deepest place of an air run; 0 for none
	TravelFeed   float64 // how fast it travels lifted, for the estimate of time
	FastestFeed  float64 // the fastest that it can move along a path in X and Y
	LoweringFeed float64 // down to the paper and up again; at most ZFeed
	ZFeed        float64 // the fastest that Z can move
	Acceleration float64
	Times        Times
	Blocks       int // blocks of a program that it reads a second; 0 where that is not stated
	Text         ProgramText
	// Motion is how each axis moves; nil where the recipe does not state it.
	Motion *Motion
	// Bed is half the width of the band of the bed's height (±): of what is left
	// of it where Z follows a surface.
	Bed float64
	// Holder is the width of what carries the brush, half of it on each side of the
	// axis, and HolderHeight how far its lower side is above the tip; 0 where they
	// are not stated.
	Holder, HolderHeight float64
	Decimals             int // decimals of a coordinate in programs, 3 or 4
	// RestX, RestY, RestZ is where the machine waits at pauses and at the end, in
	// the machine's coordinates. No program goes higher than RestZ.
	RestX, RestY, RestZ float64
	Place               source.Place
}

// Times are how long the painter's steps take, in s, and a lesson; 0 for a day
// that is not parted.
type Times struct{ Mount, TouchOff, Strip, Load, Lesson float64 }

// ProgramText is how the controller wants the text of programs.
type ProgramText struct {
	Longest  int  // characters of a line; 0 where that is not stated
	HeadOnly bool // comments before the first block only
	Numbered bool // blocks begin with the number of their line
	End      int  // the M word that ends a program: 2 or 30
	Pause    int  // the M word that waits for the painter: 0 or 1
	// Place is the row of the longest line.
	Place source.Place
}

// Motion is how the axes of a machine move.
type Motion struct {
	Feed         [3]float64 // the fastest of X, Y and Z, mm/min
	Acceleration [3]float64 // of X, Y and Z, mm/s²
	CornerCut    float64    // mm by which a corner may be cut; 0: it stops at each
}

// CornerCut (mm) is by how much a machine is taken to cut corners where nothing
// is stated. It is used only for times. Common practice, no source.
const CornerCut = 0.05

// NearStrokes (mm) is how far apart two strokes may be for the brush to travel
// between them at the hover height. On a longer way it may meet paper that has
// cockled. Common practice, no source.
const NearStrokes = 50
