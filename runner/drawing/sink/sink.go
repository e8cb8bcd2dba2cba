// Package sink is what decoders of drawing files hand their shapes to.
package sink

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/vector"
)

// Sink takes what a decoder finds in one file, in the order of the file. All
// coordinates and lengths are in the drawing's units, y upwards; places are byte
// offsets in the file.
type Sink interface {
	// Unit settles the unit, before the first shape. From then on shapes are
	// placed by the map that root gives for the length of a unit (mm).
	Unit(stated Unit, root func(mm float64) affine.Map)
	// Layer finds a layer by its name or makes it.
	Layer(name string) int32
	// Declare says how a layer is shown.
	Declare(layer int32, state LayerState)

	// Groups are those in which shapes lie.
	Groups() Groups

	// Wanted says whether an entity belongs to the picture. Why is what keeps it
	// out of it whatever its layer, or "". One that is not wanted is counted.
	Wanted(e *Entity, why string) bool
	// Count counts an entity that was read (why is "") or skipped.
	Count(e *Entity, why string)
	// Add takes a line or an outline of a wanted entity, and counts the entity
	// with its first.
	Add(e *Entity, o Outline)
	// StartArea begins an area: the outlines with a fill rule that follow.
	StartArea()
	// Hatch takes an area by its boundaries, and counts it.
	Hatch(e *Entity, boundaries []Boundary)

	// Say notes a problem.
	Say(m Message)
	// Stopped says that nothing more is wanted.
	Stopped() bool
	// Finish ends the file. Hint is what it suggests about its unit, or "".
	Finish(hint string)
}

// Groups are nested groups of shapes.
type Groups interface {
	// Enter begins a group; all up to its Leave belongs to it.
	Enter(g Group)
	// Transform moves what the current group holds from here on.
	Transform(m *affine.Map)
	Leave()
	// Clip cuts what the current group holds from here on off at the sides of a
	// parallelogram. Shapes are not cut: one that lies outside is left out, one
	// that is cut is taken whole with a warning.
	Clip(corners [4]vector.XY)
	// ClipTo cuts what the current group holds from here on off at an area: what
	// lies within any of some shapes. Where the recipe does not ask for cutting,
	// nothing is left out.
	ClipTo(area []ClipShape)
	// Map is from the coordinates of the current group to those of the drawing;
	// only ratios of its parts have a meaning.
	Map() *affine.Map
}

// ClipShape is a shape of an area at which others are cut off.
type ClipShape struct {
	Map    affine.Map // from its coordinates to those of the current group
	Curves []flatten.Curve
	Rule   contour.FillRule
}

// Splitter is a sink that can be filled from both ends of a file at once.
type Splitter interface {
	Sink
	// Fork is a sink of its own that knows the same layers and the same unit.
	Fork() Splitter
	// Join takes over what a fork was given. It answers false, and takes
	// nothing, where both together are not what one of them would have made.
	Join(fork Splitter) bool
}

// Unit is the unit of a drawing as its file states it.
type Unit struct {
	Name    string  // "" where the file states none
	MM      float64 // mm in one unit
	How     string  // "$INSUNITS 5", "width=\"210mm\""
	At, End int     // where
	Wrong   bool    // the file states an unknown unit
	Page    string  // the unit in which the page's size is written, if that is another
	// Width and Height of the page in the drawing's units, 0 where the file has
	// none. Its lower left corner is the drawing's zero.
	Width, Height float64
}

// LayerState is how a layer is shown.
type LayerState struct {
	Name                 string
	Off, Frozen, NoPlots bool
	At, End              int // where it is declared
}

// Group is a group of shapes with a name of its own, or a single shape with one.
type Group struct {
	Name, ID string // "" for none
	Outer    bool   // its name is the layer of what has no other
}

// ByGroup is the layer of an entity that is on the layer of its group.
const ByGroup = -1

// Entity is what is known of an entity besides its shape.
type Entity struct {
	What    string // its kind
	Layer   int32  // as Sink.Layer gives it, or ByGroup
	At, End int
	Plane   *affine.Map // from its coordinates to those of the group, nil where they are the same
	Tilted  bool        // it does not lie in the plane of the sheet
	Paint   contour.Paint
	Filled  bool // it is an area, such as a hatch, and no line
	Asked   bool // Wanted was called
	Counted bool
}

// Closing says whether an outline is closed.
type Closing int8

// The ways to close. ClosedIfMeeting is for a curve that is said to be closed
// and is so if its ends are within the gap.
const (
	Open Closing = iota
	Closed
	ClosedIfMeeting
)

// Outline is a line, or the edge of an area.
type Outline struct {
	Curve   flatten.Curve
	Closing Closing
	Rule    contour.FillRule // Unstated where it is no part of the area begun last
	Width   float64          // of a stroke along it, where the curve has no widths of its own; else 0
	Look    contour.Look     // of the ends and corners of the stroke
	// Stretched says that a map of its group that is not even stretches what the stroke
	// covers; else it has the same width all along.
	Stretched bool
}

// Boundary is a boundary of an area: one closed curve, or edges in any order and
// direction that join to one or more.
type Boundary struct {
	Whole flatten.Curve
	Edges []flatten.Curve
}

// Message is a problem in the file.
type Message struct {
	Severity problem.Severity
	Code     problem.Code
	Once     bool   // only the first with this code about the same thing is noted
	About    string // that thing
	Stop     bool   // nothing more can be read
	At, End  int
	Fix      problem.Fix
	Format   string
	Args     []any
	Asked    bool          // it is about an entity for which Wanted was called
	Uncut    bool          // it is noted only where the recipe does not ask for cutting
	Covering bool          // it is noted only where the recipe leaves what is covered
	Paint    contour.Paint // that it is about, if it has a colour
	// Extent says that the shape covers more or less than it does in the drawing. Where
	// the recipe leaves what is covered, it is noted of every opaque paint.
	Extent  bool
	Element bool // only this element cannot be read: the rest can be painted
	Partly  bool // the element is drawn up to the fault
}
