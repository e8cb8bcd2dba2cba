// Package stage holds the data of a layer at each stage from a drawing to a
// proven program. Each stage is made once, from the one before it, and is not
// changed afterwards.
package stage

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/covering"
	"mahlstick/runner/drawing"
	"mahlstick/runner/ink"
	"mahlstick/runner/motion"
	"mahlstick/runner/proof"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
	"math"
)

// Placed is a layer whose drawing lies on the sheet.
type Placed struct {
	Number    int // from 1
	Model     *model.Layer
	Drawing   *drawing.Drawing // nil if it could not be read
	Placement register.Placement
	Contours  []register.Contour // to be painted; nil if the drawing could not be placed
	Lie       motion.Lie         // of the sheet on the bed
	// Trial is the program of a swatch sheet, which has no drawing; nil for a layer
	// of a picture.
	Trial *trial.Program
}

// Planned is a layer as strokes of a brush.
type Planned struct {
	Placed
	Lines   []stroke.OpenLine // as drawn
	Regions *region.Result
	Plan    *stroke.Plan
	Hidden  covering.Hidden // what was cut away, because it lies under later shapes
}

// Moved is a layer as moves of the machine.
type Moved struct {
	Planned
	Gestures []stroke.Gesture // in the order of painting: the check strip, register marks, the picture
	Price    *Price           // of the order that the recipe asks for; nil if it asks for none
	Ink      *ink.Use         // nil if it is not known what a load paints
	Strip    []motion.StripMark
	Crosses  []string // names of the register marks that are painted
	Motion   motion.Plan
	Partial  bool // a part of a layer: the gestures are what it is to paint
}

// Price is what an order costs.
type Price struct {
	Travel, Short float64 // mm of the lifted brush: in this order, and in the one with the shortest travel
	Seconds       float64 // that the difference takes at the travel feed
}

// Written is a layer with its program.
type Written struct {
	Moved
	File    string // name of the program's file
	Program []byte
	Hash    string // of all that can change a byte of the program
}

// Proven is a layer whose program was read back and checked.
type Proven struct {
	Written
	Measures proof.Measures
	Ahead    float64 // mm that the axis is led ahead of the mark at most
	Cover    proof.Cover
	Figures  Figures
	Outcomes []proof.Outcome // of the rules, in a fixed order
	// Marks are what the program leaves on the paper, stroke by stroke, in mm
	// on the sheet.
	Marks [][]proof.Mark
	// Blots are where the machine lingers on the paper although its program does
	// not say so, the longest first.
	Blots []Blot
	// Remarks are the places where the painting differs from the drawing:
	// those of the plan, then those of the moves, with the areas that the
	// reading found.
	Remarks []stroke.Remark
	// Painted and Refused are the parts, in mm², of the drawn area that are and
	// are not painted. Their sum is Plan.Drawn.
	Painted, Refused float64
}

// Blot is a place where the machine lingers on the paper.
type Blot struct {
	Stroke  int     // its number
	X, Y    float64 // mm, on the sheet
	Width   float64 // of the mark, mm
	Slowest float64 // mm/min
	Seconds float64 // more than at the feed
	Wider   float64 // mm by which the mark grows; 0 if the brush was not measured for that
}

// Figures are the measurements of a program that page, terminal, record and
// index show.
type Figures struct {
	Strokes    int     // of the picture
	CheckMarks int     // of the check strip, before them
	Crosses    int     // painted register marks, between check strip and picture
	Length     float64 // of all marks, mm, in whole µm
	Seconds    float64 // rapids included, pauses not; in whole ms
	// Plunges is the number of strokes of the picture that press the brush
	// straight down by more than leastPlunge, Plunge the longest of these ways in
	// mm, Steepest the greatest growth of press in mm per mm of path.
	Plunges          int
	Plunge, Steepest float64
}

// leastPlunge (mm): a press straight down counts as a plunge above this. Less
// is within the uncertainty of touching off.
const leastPlunge = 0.1

// NewFigures are the figures of a program whose first strokes are a check strip
// and painted register marks.
func NewFigures(m *proof.Measures, checkMarks, crosses int) Figures {
	thousandths := func(v float64) float64 { return math.Round(1000*v) / 1000 }
	before := min(checkMarks+crosses*stroke.CrossArms, len(m.Strokes))
	f := Figures{Strokes: len(m.Strokes) - before, CheckMarks: min(checkMarks, before), Crosses: crosses, Length: thousandths(m.Painted), Seconds: thousandths(m.Seconds)}
	for _, s := range m.Strokes[before:] {
		if s.Plunge > leastPlunge {
			f.Plunges++
			f.Plunge = max(f.Plunge, s.Plunge)
		}
		f.Steepest = max(f.Steepest, s.Steepest)
	}
	return f
}

// BeforePicture is the number of strokes before the first of the picture.
func (f Figures) BeforePicture() int { return f.CheckMarks + f.Crosses*stroke.CrossArms }

// Check is the outcome of one rule for one program.
type Check struct {
	Program string // name of the program's file
	proof.Outcome
}
