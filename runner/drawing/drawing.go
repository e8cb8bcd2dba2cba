// Package drawing reads drawing files into contours in mm, each with its
// place in the file.
package drawing

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// XY is a point in mm, y upwards.
type XY = vector.XY

// Contour is a flattened outline or line.
//
// A closed contour without widths is the edge of an area. One with widths is
// a stroke along its points, closed or not: it has that width at each point
// and changes evenly in between.
type Contour struct {
	contour.Identity
	Points []XY // the last point of a closed contour does not repeat the first
	Closed bool
	Widths []float64 // mm, one a point, where the drawing gives a width; else nil
	Layer  string    // of an SVG: the name of the group that was asked for, else of the outermost one that has a name
}

// NotAsked is why something is passed over that stands on another layer than
// the one wanted.
const NotAsked = "on a layer that was not asked for"

// NoPaint is why a shape of an SVG is passed over that nobody sees.
const NoPaint = "neither filled nor stroked"

// Count is how many of something were read or passed over.
type Count struct {
	What  string // "LWPOLYLINE", "text"
	Layer string
	N     int
	Why   string       // why it was passed over, "" for what was read
	First source.Place // the first of them
}

// Missed says whether somebody who drew it may wait for it in vain: text and
// images that are passed over for what they are.
func (c Count) Missed() bool { return c.Why == isText || c.Why == isImage }

// LooseEnd is an end that joins nothing, or a point where more than two ends
// meet (in mm).
type LooseEnd struct {
	At      XY
	Ends    int     // how many ends meet here
	Nearest float64 // mm to the nearest other loose end, negative if there is none
	Place   source.Place
}

// Drawing is one file as read.
type Drawing struct {
	File      *source.File
	UnitName  string  // "mm", "cm", "in" ...
	UnitMM    float64 // mm in one unit
	UnitFrom  string  // where the unit was taken from, for the page
	Contours  []Contour
	Loose     []LooseEnd
	Read      []Count
	Passed    []Count
	Layers    []string   // names of all layers of the file, sorted
	Crossings []LooseEnd // points where an even number of ends meet, followed straight on; the first 10,000
	LooseEnds int        // how many loose ends there are; Loose holds the first 10,000

	gap        float64 // mm within which ends were joined
	unitInFile bool    // the file states a unit
}

// Options are what the recipe says about a drawing.
type Options struct {
	Unit       model.Unit
	Layer      string       // only this drawing layer, "" for all
	KeepLayers []string     // further layers to read: those of the marks
	Gap        float64      // mm; ends nearer than this join. 0 means 0.05
	Tolerance  float64      // mm between a curve and its chords. 0 means 0.001; at most 0.005
	LayerPlace source.Place // where the recipe names the layer
}
