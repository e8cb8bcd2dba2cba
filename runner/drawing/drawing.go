// Package drawing has drawings as they are read: contours in mm, each with its
// place in the file, and what can be asked of them.
package drawing

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/vector"
)

// Contour is a flattened outline or line.
//
// A closed contour without widths is the edge of an area. One with widths is
// a stroke along its points, closed or not: it has that width at each point
// and changes evenly in between.
type Contour struct {
	contour.Identity
	Points []vector.XY // the last point of a closed contour does not repeat the first
	Closed bool
	Widths []float64 // mm, one a point, where the drawing gives a width; else nil
	Clips  []*Clip   // at which it is cut off
	Layer  string    // of an SVG: the name of the group that was asked for, else of the outermost one that has a name
}

// Clip is an area at which contours are cut off: what lies within any of its
// shapes.
type Clip struct{ Shapes []ClipShape }

// ClipShape is a shape of a Clip: closed rings (mm) with a fill rule.
type ClipShape struct {
	Rings [][]vector.XY
	Rule  contour.FillRule
}

// Bounds is the box around a clip.
func (c *Clip) Bounds() vector.Box {
	box := vector.Empty()
	for _, s := range c.Shapes {
		for _, ring := range s.Rings {
			box = box.Union(vector.Bounds(ring))
		}
	}
	return box
}

// Map is a clip whose points are mapped.
func (c *Clip) Map(f func(vector.XY) vector.XY) *Clip {
	out := &Clip{}
	for _, s := range c.Shapes {
		mapped := ClipShape{Rule: s.Rule}
		for _, ring := range s.Rings {
			points := make([]vector.XY, len(ring))
			for i, p := range ring {
				points[i] = f(p)
			}
			mapped.Rings = append(mapped.Rings, points)
		}
		out.Shapes = append(out.Shapes, mapped)
	}
	return out
}

// ClipToBox is a clip that is an upright rectangle.
func ClipToBox(box vector.Box) *Clip {
	return &Clip{Shapes: []ClipShape{{Rule: contour.NonZero, Rings: [][]vector.XY{{
		box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y},
	}}}}}
}

// Why something is skipped, where somebody asks for the reason.
const (
	NotAsked        = "on a layer that was not asked for"
	NoPaint         = "neither filled nor stroked"
	NotDisplayed    = "not displayed (display: none)"
	Invisible       = "hidden (visibility)"
	TextNotPainted  = "text is not painted"
	ImageNotPainted = "images are not painted"
	HidesNothing    = "what it hides is painted"
)

// Count is how many of something were read or skipped.
type Count struct {
	What  string // "LWPOLYLINE", "text"
	Layer string
	N     int
	Why   string       // why it was skipped, "" for what was read
	First source.Place // the first of them
}

// Missed says whether whoever drew it may expect it in the picture: text and
// images that are skipped for what they are.
func (c Count) Missed() bool { return c.Why == TextNotPainted || c.Why == ImageNotPainted }

// LooseEnd is an end that joins nothing, or a point where more than two ends
// meet (in mm).
type LooseEnd struct {
	At      vector.XY
	Ends    int     // how many ends meet here
	Nearest float64 // mm to the nearest other loose end, negative if there is none
	Place   source.Place
}

// Drawing is one file as read.
type Drawing struct {
	File       *source.File
	UnitName   string  // "mm", "cm", "in" ...
	UnitMM     float64 // mm in one unit
	UnitFrom   string  // where the unit was taken from, for the page
	UnitInFile bool    // the file states a unit
	// PageWidth and PageHeight (mm) are the size of the page, 0 where the file has
	// none. Its lower left corner is the drawing's zero.
	PageWidth, PageHeight float64
	Contours              []Contour
	Loose                 []LooseEnd
	Read                  []Count
	Skipped               []Count
	Layers                []string   // names of all layers of the file, sorted
	Crossings             []LooseEnd // points where an even number of ends meet, followed straight on; the first 10,000
	LooseEnds             int        // how many loose ends there are; Loose holds the first 10,000
}

// MaxBytes is the size of the largest file that is read, compressed or not.
const MaxBytes = 64 << 20

// Options are what the recipe says about a drawing.
type Options struct {
	Unit       model.Unit
	Layer      string       // only this drawing layer, "" for all
	KeepLayers []string     // further layers to read: those of the marks
	Gap        float64      // mm; ends nearer than this join. 0 means 0.05
	Tolerance  float64      // mm between a curve and its chords. 0 means 0.001; at most 0.005
	LayerPlace source.Place // where the recipe names the layer
	Workers    int          // how many processors may be used; 0 means all
	// Anywhere allows a drawing to lie farther from its zero than any sheet is
	// large, because it will be moved.
	Anywhere bool
	// Cut keeps with each contour the clips at which it is cut off.
	Cut bool
	// RefuseFaults makes an error of an element that cannot be read.
	RefuseFaults bool
	// Measure reads curves roughly: only the size of the drawing is wanted.
	Measure bool
	// ByColour keeps shapes of different colours apart: lines of two colours do not
	// join, and a shape on top of an equal one of another colour is read too.
	ByColour bool
	// Lines says that closed outlines are lines: a hatch and its outline are two
	// things.
	Lines bool
	// Wants says which paints the warnings and hints of the reader may be about;
	// nil for all.
	Wants     func(contour.Paint) bool
	Bare      bool // read areas of bare paper, which hide what lies under them, too
	AllLayers bool // read the layers that are not asked for, too
	Unpainted bool // read shapes that are neither filled nor stroked, too
}

// FoldName makes names of layers and blocks comparable: they match whatever
// the case of their letters (DXF Reference, "Symbol Table").
func FoldName(s string) string {
	return strings.ToLower(strings.ToUpper(norm.NFC.String(strings.TrimSpace(s))))
}

// Short writes a length for a message: three decimals at most.
func Short(v float64) string {
	if math.Abs(v) >= 1e7 {
		return fmt.Sprintf("%.3g", v)
	}
	return format.Plain.Number(v, 3)
}
