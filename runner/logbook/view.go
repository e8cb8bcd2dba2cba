// Package logbook makes the HTML pages: one for each job, one for the studio. A
// page is one file without scripts and without anything fetched from elsewhere;
// it reads the same from a disk, on a phone and on paper.
package logbook

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/working"
	"mahlstick/runner/vector"
)

// Page holds everything that a job's page shows. Lengths are in mm on the sheet
// (x to the right, y up from its lower left corner), times in seconds, feeds in
// mm/min. Texts are plain unless a field says HTML.
type Page struct {
	Title string
	Job   string // "heron"
	// Recipe is the recipe's path below the studio's root; RecipeHash the
	// SHA-256 of its bytes in hex.
	Recipe, RecipeHash string
	// Index is the link to the job on the page of all jobs, where its
	// impressions are listed. Current is the link from an impression to the
	// current job; it is "" on the page of the job itself.
	Index, Current string
	Engine         int
	Edition        string // "3/10"; "" if the page is not of an impression

	Sheet    Sheet
	Blocks   []Block
	Workings map[string]working.Working // by name
	Derived  []string                   // names of the workings that the program adds, in order
	Layers   []Layer
	Walk     *Program // the margin walk
	Heights  *Marking // the program over places to touch the height of the paper at; nil for none
	Wells    []Well
	WalkPath []vector.XY // of the machine's axes, from the zero of the first layer
	Checks   []Check
	Notes    []Note // warnings and hints from the recipe on
	Inputs   []FileHash
	Outputs  []FileHash
	Results  []Result
	Widths   []Widths // of scanned sheets, by layer
	Swatch   *Swatch  // of a swatch sheet, else nil
	People   []People
	Seatings []Seating
	// Registers are the worst pairs of layers first.
	Registers []Register
	Day       *Day // nil for a swatch sheet
	// Promise is the sentence on the job card about what the machine and
	// touch-off allow.
	Machine Machine
}

// Day is the plan of the day, parted into lessons if the recipe says so.
type Day struct {
	Lessons []Lesson // one for a day that is not parted; none if Needed
	Lesson  float64  // s that a lesson has; 0 for a day that is not parted
	Needed  float64  // s that a lesson must have at least; 0 if it has them
	// NoDrying are the layers whose time of drying is not stated; none if nothing
	// waits for them.
	NoDrying []string
}

// Lesson is what is done without a break.
type Lesson struct {
	Steps   []Step
	Seconds float64
}

// Step is a step of the day.
type Step struct {
	Starts, Seconds float64
	Text            string
	Hex             string // of the ink that is painted, else ""
	Waits           bool   // for a layer to dry
	Wet             bool   // the next step has to wait until the layer is dry; it is not known how long
	Resume          string // how to go on where a layer is stopped, else ""
	Breaks          []Break
}

// Break is a part of a step of painting in which nothing is painted: the brush is
// loaded, or wet strokes dry.
type Break struct {
	Waits           bool    // for wet strokes
	Starts, Seconds float64 // s, from the start of the lesson
}

// Sheet is the paper as it lies on the bed.
type Sheet struct {
	Size          string
	Width, Height float64
	Margin        float64
	Paper, Grain  string
	Lay           model.Corner
	Turned        int // quarter turns counter-clockwise
	Marks         []Mark
	Clamps        *Clamps   // nil if there are none
	Flatness      *Flatness // nil if the recipe does not say where brushes are touched off
	// Free are places for painted register marks, the first two far apart; none
	// if some are painted already, or one layer alone needs none. FirstLayer
	// could paint them.
	Free       []Mark
	FirstLayer string
	Lies       *Lies // where the sheet was found last, nil at its stops
}

// Clamps are what stands in the way of brush and holder.
type Clamps struct {
	Holder, Under float64 // width of the holder, and how far its lower side is above the tip; mm
	Clear         float64 // mm that are kept clear
	Clamps        []Clamp
	FromRest      bool // programs must be started with the machine at its place to rest
}

// Clamp is a clamp or a tape, in mm.
type Clamp struct {
	Name                        string
	X, Y, Width, Length, Height float64
	OnBed                       bool        // X and Y are the machine's
	Corners                     []vector.XY // in the machine's axes, from the zero of the first layer
	Passed                      string      // how it is cleared
}

// Flatness is where brushes are touched off and the height of the paper over that
// place, in mm.
type Flatness struct {
	X, Y      float64 // of touching off, on the sheet
	Followed  bool    // Z follows a surface; else only X and Y are known
	Bent      bool    // it bends; else it is a plane
	Doubt     float64 // the greatest standard uncertainty of the surface
	Low, High float64 // over the whole sheet
	Touches   []Touched
}

// Touched is a touched place: its height as written, the height of the surface
// there over the place of touching off, and what the surface leaves of it; mm.
type Touched struct{ X, Y, Height, Over, Left float64 }

// Uneven is what the surface does to the widths of a layer's marks, in mm: the
// lowest and highest paper under them, how much narrower and wider they would be
// at most if Z did not follow it, the share of their points that would not be
// painted at all, and half the band that is left in 95 of 100 cases.
type Uneven struct{ Low, High, Narrower, Wider, Missed, Left float64 }

// Mark is a register mark on the sheet.
type Mark struct {
	Name       string
	X, Y, Size float64
	Painted    string // the layer that paints it, "" for none
}

// Machine is what the page shows of the machine.
type Machine struct {
	AirRun         bool // each layer has a program for a rehearsal
	OptionalStop   bool // programs pause only while the optional stop is switched on
	Title          string
	ReachX, ReachY float64
	SafeHeight     float64
	Clear          float64 // everything on the bed must be lower, mm
	// LowestZ and HighestZ are the range of Z of all programs. RestX, RestY and
	// HighestZ are where the machine waits at pauses and at the end.
	LowestZ, HighestZ, RestX, RestY float64
}

// Block is a part of the recipe, in reading order.
type Block struct {
	HTML    string // rendered prose, inert; may be ""
	Heading string // of a data section, "" for prose
	Name    string // of the brush in formulas, "" if it is no brush
	Facts   []Fact // rows of the section
	Table   *Table // or its cells
	// Unstated are the rows or columns that the recipe leaves out, with their
	// defaults.
	Unstated []Fact
	Workings []string // the workings shown in this block
	Chart    *Chart   // of a brush
}

// Chart is a brush's press and width: as measured, and as the curve fitted to
// it.
type Chart struct {
	Rungs, Curve []Rung
	// Band holds the lower and upper edge (mm) of the band that holds the width in
	// 95 of 100 cases, for each rung of Curve; none where the doubt is not known.
	Band      [][2]float64
	SafePress float64
	Thinnest  float64 // the thinnest line that can be promised, mm
}

// Rung is a measured mark: its press, its width, and the standard uncertainty
// of the width; mm.
type Rung struct{ Press, Width, UWidth float64 }

// Fact is one row with the value that is used.
type Fact struct {
	Word, Value string
	Name        string   // in formulas, "" if formulas cannot use it
	Also        []string // other names by which formulas reach it
	Default     bool
	Help        string // what the word means
	Was         string // the notebook's value that the recipe overrides
	From        string // where it is stated: "brushes/fine-sable.md:6"
}

// Table is a section of several columns.
type Table struct {
	Head []string
	Rows [][]Fact
}

// Layer is one colour.
type Layer struct {
	Number         int
	Sheet          int      // of a swatch, from 1; 0 for a picture
	Marking        *Marking // the program that carries its tip over the marks, nil if there is none
	Register       string   // on the card: how well it registers with the others, "" if it is alone
	Name           string
	Ink, Hex       string
	Colours        []string // of the drawing, as #rrggbb; none if the layer takes all
	Uncoloured     bool     // it takes shapes without a colour
	Hidden         int      // shapes that are left, in part or wholly, under later shapes
	HiddenWhole    int      // those left wholly
	HiddenArea     float64  // mm² of them that are left
	Trap           float64  // mm that they run on under later layers
	Brush          string
	BrushFrom      string
	Drawing        string
	Unit, UnitFrom string
	Read           []Count
	Passed         []Count
	Missed         bool    // something skipped may have been meant to be painted
	Mended         []Count // Why is the place of the first
	Size           string  // of the drawing, in a sentence
	Placed         string  // how the mark placed it, in words

	Program    Program
	GoesOn     []GoesOn // where the sheet was moved within the layer
	Strokes    int      // main strokes and open lines
	Corners    int      // touches that square a corner
	Lanes      int      // passes that fill wide places
	Picture    int      // strokes of the picture as read back
	CheckMarks int      // strokes of the check strip, numbered before them
	Crosses    int      // painted register marks, numbered between the two
	Before     int      // strokes that are not of the picture
	Shapes     int
	Holes      int
	Outlines   int // closed ones read, holes and strokes with a width included
	OpenLines  int
	Painted    float64 // mm, the length of all marks
	Travel     float64 // mm
	Seconds    float64
	Parts      Times
	Blocks     Blocks
	Deepest    float64 // press, mm
	Ahead      float64 // mm, the farthest that the brush is ahead of its mark; 0 if it never is
	SafePress  float64
	Reserve    float64 // of the safe press that is kept, mm
	// Plunges is the number of strokes that press the brush straight down, Plunge
	// the longest of these ways in mm, Steepest the greatest growth of press in mm
	// per mm of path, SteepestPress what the brush allows of that, 0 for any.
	Plunges          int
	Plunge, Steepest float64
	SteepestPress    float64
	Entries          *Entries // nil if none were to be concealed
	Narrowest        float64  // mark, mm
	Widest           float64
	WidestMark       float64
	Thinnest         float64 // thinnest line that can be promised
	Uneven           *Uneven // nil where Z follows no surface
	Feed             float64
	Feeding          *Feeding // the feed by formula; nil where it is the same everywhere

	Drawn, Done, Refused float64 // mm²: drawn = done + refused
	Twice                float64 // mm² of the branches that strokes go over twice
	Coverage, Spill      float64 // shares of the drawn area, from the program read back; NaN if not measured
	Remarks              []RemarkGroup
	Marks                []Stroke // the marks of the program, read back
	OrderPrice           string   // what the order costs, in words; "" if it has no price
	InkUse               string   // what the ink is used for; "" if it is not known
	Reloads              []string // numbers of the strokes before which the brush is loaded
	Loads                string   // how the machine loads the brush in a well; "" if it does not
	Divided              []string // numbers of the strokes that go on what the one before began
	Strip                []StripMark
	StripAt              string       // where it is on the sheet, in words
	Scale                []ScaleRange // from wide to narrow
	Tip                  Tip
	Drying               float64 // s; 0 if it is not stated
	Brushstrokes         []StrokeRow
	Effects              []Effect // of what was measured of the brush
	Risks                *Risks   // nil if the brush was not measured by a sheet
	Lingers              int      // places where the machine lingers on the paper
	Blots                []Blot   // the worst of them
}

// Blocks is what was done for a controller that reads few blocks a second.
type Blocks struct {
	Allowed        int // 0 if the machine's notebook states none
	Merged, Slowed int
	Lowest         float64 // feed, mm/min
}

// Feeding is the feed of a layer by formula.
type Feeding struct {
	Formula          string
	Slowest, Fastest float64 // mm/min
	// Along are the parts of the stroke, in words, for which Feeds have a number each;
	// one empty word where the part does not count.
	Along []string
	Bends bool // the feed depends on the bend too
	Rows  []FeedRow
}

// FeedRow is the feed at a press (mm) and the width of its mark (mm).
type FeedRow struct {
	Press, Width float64
	Feeds        []float64 // mm/min
}

// Times are the parts of a program's time, in s.
type Times struct{ Painting, Travel, Lowering, Held float64 }

// Blot is a place where the machine lingers on the paper.
type Blot struct {
	Stroke         int
	X, Y           float64 // mm, on the sheet
	Width          float64 // of the mark, mm
	Slowest        float64 // mm/min
	Seconds, Wider float64 // how much longer, and wider; 0 if that is not known
}

// Effect is what something that was measured of a brush does to a layer.
type Effect struct{ What, Text string }

// Risks are how much the strokes of a layer may be off.
type Risks struct {
	Height  float64 // standard uncertainty of the press by touching off and bed, mm
	Widest  float64 // width that is surely pressed no deeper than the safe press, mm
	N       int     // strokes
	Strokes []StrokeAtRisk
}

// StrokeAtRisk is a stroke whose width may be off by its standard uncertainty,
// Error, and by Without if what would help most were known, all in mm. Missing and
// Deeper are chances.
type StrokeAtRisk struct {
	Number          int
	X, Y, Width     float64
	Error, Without  float64
	Missing, Deeper float64
	Help            string
}

// StrokeRow is a line of the stroke map.
type StrokeRow struct {
	File           string // of the program; "" for the layer's own
	Number, Line   int
	X, Y           float64
	Length         float64
	Deepest, Width float64
	Seconds        float64 // on the paper
	Starts         float64 // s after the start of the program, pauses not counted
}

// Count is how many of something were read or skipped.
type Count struct {
	What  string
	Layer string // of the drawing, "" if it has none
	N     int
	Why   string
}

// Entries counts the entries and exits of a layer's strokes.
type Entries struct {
	Entries, Exits int // concealed
	Light          int // entries and exits too light to be concealed
	Straight       int // entries and exits as drawn, because there is no room
}

// RemarkGroup is a reason with the places that it applies to.
type RemarkGroup struct {
	Reason, Meaning string
	Refused         bool // unpainted, not only remarked
	Fed             bool // a lowered feed belongs to each place
	N               int
	Area, Length    float64
	Places          []Place // the worst, at most a dozen
}

// Place is one place of a remark.
type Place struct {
	X, Y, Width, Area, Length float64
	From                      string // "reeds.dxf:1482"
	Feed                      string // mm/min, if it was lowered
}

// Stroke is one mark: a path with a width at every point.
type Stroke struct{ Points []StrokePoint }

// StrokePoint is a point of a mark, in mm on the sheet.
type StrokePoint struct{ X, Y, W float64 }

// StripMark is a mark of the check strip and the width it should have.
type StripMark struct {
	Name        string
	Press, Mark float64
	Tolerance   float64 // mm, by which a good mark may differ
}

// Program is a machine program as written.
type Program struct {
	File    string // relative to the page
	Hash    string // of what can move a byte of it
	Lines   int
	Seconds float64
}

// Check is a rule and its outcome.
type Check struct {
	Program        string
	Name           string
	OK             bool
	Found, Allowed string
	Where          string
}

// Note is a warning or a hint.
type Note struct{ Severity, Where, Text, Fix string }

// FileHash is a file with its size in bytes and SHA-256 in hex.
type FileHash struct {
	Name string
	Link string // relative to the page, "" if there is nothing to open
	Size int
	Hash string
}

// Result is what was written after painting.
type Result struct {
	Heading string
	HTML    string
	Strips  []Strip
	Painted []PaintedBy
	// Charted says that it has widths, which the page draws with those of other sheets.
	Charted bool
}

// Shown reports whether there is anything below its heading.
func (r Result) Shown() bool {
	return !r.Charted || r.HTML != "" || len(r.Strips) > 0 || len(r.Painted) > 0
}

// PaintedBy is a layer that was painted by several programs.
type PaintedBy struct {
	Layer   string
	Strokes int
	Parts   []PaintedPart
}

// PaintedPart is a run of strokes and the program that painted each of them
// last.
type PaintedPart struct {
	From, To int
	File     string
}

// Strip is the measured check strip of a layer.
type Strip struct {
	Layer    string // "" if unknown
	Readings []StripReading
	Advice   string // what to do about it
	Rows     string // new rows for the brush's swatch, ready to paste; "" for none
}

// ScaleRange is a range of widths, in mm, that the middle mark of a check strip may
// be measured with, and what to do about Z zero then, in words.
type ScaleRange struct{ Width, Do string }

// Tip is where the tip of a mounted brush is, from the machine's axis, in mm.
type Tip struct {
	Stated bool
	X, Y   float64
}

// StripReading is a mark of a strip as asked and as measured, in mm.
type StripReading struct {
	Mark            string
	Asked, Measured float64
	Limit           float64 // mm, by which a good mark may differ; 0 if unknown
}
