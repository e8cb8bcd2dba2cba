// Package model is the evaluated job: plain values, each with the place it
// came from. recipe makes it; nothing writes to it afterwards.
//
// Lengths are in mm, angles in degrees, feeds in mm/min, accelerations in
// mm/s², times in seconds, unless a field says otherwise.
package model

import (
	"slices"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/colour"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// Job is one recipe, read and evaluated.
type Job struct {
	// Name is the recipe's path below the studio's root without ".md";
	// "heron/heron" is folded to "heron".
	Name  string
	Title string
	// Files are the recipe and every notebook it reached, the recipe first,
	// the others in the order in which they were first linked.
	Files     []*source.File
	Sheet     Sheet
	Machine   Machine
	Brushes   []*Brush // in the order in which the layers first use them
	Layers    []Layer  // in the order of painting; none where there are trials
	Trials    []Trial  // of a swatch sheet, in the order of the recipe
	Marks     []Mark
	Facts     []Fact            // every row and cell that counts, stated or by default
	Workings  []working.Working // every formula, in the order of the text
	InText    []InText          // formulas in the text of the page, by their letters
	Page      []Block           // the recipe as prose for the logbook
	Results   []Result
	Pictures  []string // files of the studio that the prose shows, then files of readings that the Results link; each once
	Worksheet bool     // a worksheet goes with the page
	// Edition is the stated size of the edition, 0 where none is stated.
	Edition int
}

// Corner is a corner of the sheet as the painter looks at it.
type Corner int8

// The corners.
const (
	LowerLeft Corner = iota
	LowerRight
	UpperRight
	UpperLeft
)

func (c Corner) String() string {
	return [...]string{"lower left", "lower right", "upper right", "upper left"}[c]
}

// Brush is one brush as measured.
type Brush struct {
	Name       string // folded, such as "fine_sable"
	Title      string // as written
	File       string // name of its notebook
	WidestMark float64
	SafePress  float64
	SafeU      float64 // standard uncertainty of it
	// Reserve is how much less than the safe press the brush is pressed at most:
	// the paper may be higher, and the safe press less, than was measured.
	Reserve   float64
	Touch     float64 // standard uncertainty of touching off
	TouchMark float64 // width at the lightest touch
	Hair      float64 // length outside the ferrule; 0 if it is not stated
	// Lag is how far the mark trails behind the axis; the zero Lag where it was
	// not measured.
	Lag brush.Lag
	// Play is by how many mm a press that is reached from above acts as deeper
	// than one that is reached from below.
	Play       float64
	TipX, TipY float64 // offset of the mounted tip from the machine's axis
	TipU       float64 // its standard uncertainty along each axis; 0 if it is not stated
	TipStated  bool    // the offset is stated or measured
	Entry      float64 // mm of path over which an open line comes down
	Exit       float64 // mm of path over which it lifts
	// SteepestPress is how many mm deeper the brush may be pressed a mm of way;
	// 0 for no limit.
	SteepestPress float64
	// Holds is what one load of ink paints; the zero Load where it is not stated.
	Holds Load
	// Curve gives the press for a width and back, from the swatch or, without
	// one, from the taper. It knows the doubt of its widths.
	Curve *brush.Curve
	// Spreading is how its marks spread by feed; nil where that is not known. The
	// brush of a layer has the curve of the layer's feed.
	Spreading *Spreading
	// Measured is what the readings of its swatch sheets say; nil where its swatch is
	// a plain table.
	Measured *Measured
	// Thinnest is the thinnest line (mm) that can be promised with this
	// touch-off on this machine's bed.
	Thinnest float64
	Place    source.Place
}

// Load is an amount of ink by what it paints: an area in mm² or a length in mm.
type Load struct {
	Area, Length float64
	Place        source.Place // where it is stated
}

// Known reports whether an amount is stated.
func (l Load) Known() bool { return l.Area > 0 || l.Length > 0 }

// DeepestPress is how deep the brush is pressed at most, in mm: the safe press
// less the reserve.
func (b *Brush) DeepestPress() float64 { return max(b.SafePress-b.Reserve, 0) }

// WidestPainted is the width in mm of the mark at the deepest press.
func (b *Brush) WidestPainted() float64 {
	_, widest := b.Curve.Range()
	if b.Reserve > 0 {
		if width, err := b.Curve.WidthAt(b.DeepestPress()); err == nil {
			return width
		}
	}
	return widest
}

// AtMargin is how far (mm) what is drawn must stay inside a margin so that no
// mark reaches over it: half the lightest mark, with which a corner is painted.
func (b *Brush) AtMargin() float64 {
	if b == nil || b.Curve == nil {
		return 0
	}
	lightest, _ := b.Curve.Range()
	return lightest / 2
}

// Ink is a colour and its name.
type Ink struct {
	Name string // as written: "indigo", "#1d1b1a"
	Hex  string // "#rrggbb", lower case
	// Drying is the time in s until blotting paper stays clean; 0 if it is not
	// stated.
	Drying float64
}

// Inside says what contours inside others are.
type Inside int8

// Inner contours are holes by alternating depth, or strokes of their own.
const (
	Holes Inside = iota
	Strokes
)

// Bare says what happens where much of a layer is not painted.
type Bare int8

// Bare paper is a warning, or allowed, or an error.
const (
	WarnBare Bare = iota
	AllowBare
	RefuseBare
)

// Covered says what happens to what lies under later shapes of the drawing.
type Covered int8

// What is covered is painted, or left.
const (
	PaintCovered Covered = iota
	LeaveCovered
)

// Lanes says which way the lanes run that fill a place wider than the brush.
type Lanes int8

// Lanes follow the edge all the way in; or are straight inside one that does;
// or both, the straight ones first.
const (
	Follow Lanes = iota
	Straight
	Both
)

// Entries says how strokes begin and end.
type Entries int8

// Entries are as drawn, the brush set down and lifted where the stroke begins
// and ends, and the feed lowered where Z could not follow; or lengthened there
// instead; or concealed: the brush comes down lightly on what the stroke paints
// anyway and goes back to its end while it is pressed.
const (
	EntriesAsDrawn Entries = iota
	Longer
	Concealed
)

// Order says which gesture of a layer comes next, and from which end it is
// painted.
type Order int8

// The next gesture is the one to which the brush travels least; or the next of
// the drawing; or the one that a writing hand would paint next.
const (
	ByTravel Order = iota
	ByDrawing
	ByHand
	ByRows   // from top to bottom
	FromHand // the farthest from the hand first
)

// Cornering says how a stroke gets into the corners of its shape.
type Cornering int8

// Corners are painted by going out into them and back in one stroke; or by
// touches of their own; or in one stroke that leaves small ones round.
const (
	Joined Cornering = iota
	Touch
	Round
)

// Unit is the unit of a drawing as the recipe says it.
type Unit struct {
	Name     string  // "mm", "cm", "in" ...; "" where the recipe is silent
	MM       float64 // mm in one unit
	Override bool    // "cm, not as the file says"
	Place    source.Place
}

// Sizing says what decides the size of a drawing on the sheet.
type Sizing int8

// A drawing has the size that its unit gives, or that the recipe states.
const (
	ByUnit    Sizing = iota
	Wide             // Value is the width in mm
	High             // Value is the height in mm
	Factor           // Value is a factor on the size that its unit gives
	ToMargins        // as large as fits between the margins
)

// DrawnSize is the size of a drawing on the sheet as the recipe says it.
type DrawnSize struct {
	By    Sizing
	Value float64
	Text  string // as written
	Place source.Place
}

// Outlines says how closed outlines are painted.
type Outlines int8

// Closed outlines are areas, or lines where the drawing gives them a width; or
// all are areas, or all lines.
const (
	ByWidth Outlines = iota
	AsShapes
	AsLines
)

// CutTo says where what is drawn is cut off.
type CutTo int8

// A drawing is not cut; or at the clips that its file states; or at these and at
// its page, or at the margins of the sheet.
const (
	Uncut CutTo = iota
	AtClips
	AtPage
	AtMargins
)

// Colours are the colours of a drawing that a layer takes.
type Colours struct {
	Stated bool // else all
	All    bool // all, and that is stated
	List   []colour.RGB
	None   bool // shapes that have no colour
	Place  source.Place
}

// Chosen reports whether some colours are left out.
func (c *Colours) Chosen() bool { return c.Stated && !c.All }

// Take reports whether the layer takes a shape of a colour or, if it has none,
// a shape without.
func (c *Colours) Take(of colour.RGB, has bool) bool {
	if !has {
		return !c.Chosen() || c.None
	}
	return !c.Chosen() || slices.Contains(c.List, of)
}

// Layer is one colour: a drawing, a brush, an ink.
type Layer struct {
	Name              string
	Seating           *Seating   // where the sheet lies; nil if it is at its stops
	Moves             []*Seating // where it lies from a stroke of the layer on, at which it was moved
	Drawing           string     // path below the studio's root
	DrawingPlace      source.Place
	DrawingLayer      string // "" for all layers of the file
	DrawingLayerPlace source.Place
	DrawingColours    Colours
	Covered           Covered
	CoveredStated     bool
	Trap              float64 // mm that a shape runs on under one that a later layer paints
	Unit              Unit
	Brush             *Brush
	Ink               Ink
	Feed              float64  // the fastest, if it is given by a formula
	Feeding           *Feeding // the feed by formula; nil where it is the same everywhere
	DrawnSize         DrawnSize
	OffsetX           float64
	OffsetY           float64
	CutTo             CutTo
	CutToPlace        source.Place
	RefuseFaults      bool // an element of the drawing that cannot be read is an error
	Outlines          Outlines
	Inside            Inside
	Overlap           float64 // share of a lane's width, 0 to 0.9; default 0.15
	Lanes             Lanes   // how a place wider than the brush is filled
	LaneAngle         float64 // of straight lanes, counter-clockwise from x to the right
	LaneMargin        float64 // mm by which lanes are narrower than the widest mark
	Order             Order
	Pulled            bool    // strokes go in the direction of the hand, in any order
	Wet               float64 // s that strokes which touch wait for each other; 0 for none
	SetOff            float64 // s after which paper pressed on it took no more ink, by Results; 0 if it was not tried
	WetPlace          source.Place
	Well              *Well // where its brush is loaded; nil if the painter loads it
	LeftHand          bool  // AsDrawn and Written as a left hand does it: mirrored
	EdgesFirst        bool  // what is nearer the edge than lanes, and corners, before the lanes
	Hairlines         bool  // paint what is narrower than the lightest mark with the lightest touch; false leaves it
	Corners           Cornering
	RoundBelow        float64 // mm: corners that reach less far beyond the round mark are left out, if Corners is Round
	Bare              Bare
	BarePlace         source.Place
	Width             WidthFunc // width of open lines by formula; nil where the recipe states none
	WidthPlace        source.Place
	Tolerance         float64 // mm by which the painted edge may differ from the drawn one; default 0.02
	Gap               float64 // mm between loose ends that still join; default 0.05
	Entries           Entries
	// CheckStrip paints three short marks first, in the margin if there is room.
	CheckStrip bool
	Place      source.Place
}

// WidthFunc is a width formula over an open stroke.
type WidthFunc interface {
	// WidthAt gives the width in mm at a point of a stroke, which has a number
	// on its layer: along from 0 to 1, fromStart and length in mm, bend in 1/mm
	// (positive to the left).
	WidthAt(stroke int, along, fromStart, length, bend float64) (float64, error)
}

// Mark is a registration mark: a closed square of Size centred at X, Y on the
// sheet.
type Mark struct {
	Name         string
	X, Y, Size   float64
	DrawingLayer string // the drawing layer it is on, "" to find it by size
	Painted      string // the layer that paints a cross there, "" for none
	Place        source.Place
}

// Section is a data section of a recipe or notebook; for Layers,
// Trials and Registration it is one line of its table.
type Section struct {
	Word string // as in the schema: "Brush", "Layers"
	Name string // of the brush, the layer ...: "fine sable"; "" where there is none
}

// String is the section as records name it: "Brush: fine sable", "Layer: straw".
func (s Section) String() string {
	word := s.Word
	switch {
	case s.Name == "" || s.Name == s.Word:
		return word
	case word == "Layers":
		word = "Layer"
	case word == "Trials":
		word = "Trial"
	case word == "Wells":
		word = "Well"
	case word == "Registration":
		word = "Mark"
	case word == "Clamps":
		word = "Clamp"
	}
	return word + ": " + s.Name
}

// Fact is a row or a cell that counts, as the page prints it.
type Fact struct {
	Section Section
	Word    string   // "safe press"
	Name    string   // "fine_sable.safe_press"
	Also    []string // names by which formulas reach the linked notebook's row that it replaces
	Value   string   // "5.0 mm", ready to be shown
	Default bool     // nobody stated it
	// Was is the linked notebook's value where the recipe overrides it, or "".
	Was      string
	Place    source.Place
	WasPlace source.Place
}

// InText is a formula in the prose with its value. Nothing
// depends on it.
type InText struct{ Formula, Value string }

// BlockKind says what a block of the page is.
type BlockKind int8

// The kinds of block.
const (
	Prose        BlockKind = iota // HTML is rendered prose, inert
	WorkingBlock                  // Names are the workings shown here
	SectionBlock                  // a data section; again for its prose behind a table or a block
)

// Block is a piece of the recipe in reading order.
type Block struct {
	Kind    BlockKind
	Section Section
	Heading string // of the section, as written
	HTML    string
	Names   []string
}

// Result is what was written after painting one impression.
type Result struct {
	Heading string
	HTML    string // rendered, inert
	Strip   []StripReading
	Painted []PaintedPart
	Widths  []WidthReading
	Place   source.Place
}

// WidthReading is a width of a scanned painting: what was measured where a width was
// asked for, and the press for it by the brush of then; mm.
type WidthReading struct {
	Layer                  int // index of the layer
	Press, Asked, Measured float64
	U                      float64 // standard uncertainty of what was measured, 0 where none is stated
}

// PaintedPart is a part of a layer that was painted by a program of its own.
type PaintedPart struct {
	Layer    string // as written
	From, To int    // numbers of strokes
	At       int    // thousandths of the first stroke that were painted before
	File     string
	Place    source.Place
}

// StripReading is one measured mark of a check strip, in mm.
type StripReading struct {
	Layer           string // whose check strip it is, "" where that is not known
	Mark            string
	Asked, Measured float64
	U               float64 // standard uncertainty of the measuring, 0 where none is stated
	Place           source.Place
}
