// Package along measures the strokes of a painting in a scan of the finished sheet:
// how wide each is across its normals, all along its way, against what was asked,
// and which are missing, broken or doubled. The edge of a stroke is where the
// reflectance, in linear light, is half-way between that of the ground beside it and
// that of the ink; of a line too thin for that, the width is that of as much full ink.
package along

import (
	"slices"

	"mahlstick/runner/vector"
)

// Light looks at a scan in mm of the sheet: linear light in red, green and blue, from
// 0 to 1. It reports false beyond the scan.
type Light interface {
	At(vector.XY) (light [3]float32, on bool)
}

// Mark is a place of a stroke as it was asked for, in mm on the sheet.
type Mark struct{ X, Y, Width float64 }

// Stroke is a stroke as it was asked for. Position and width change evenly from mark
// to mark.
type Stroke struct {
	Layer  int // from 0, in the order of painting
	Number int // in its program
	Marks  []Mark
	// Sure is the width in mm from which the brush surely marks the paper. Where less
	// was asked, no ink is no fault.
	Sure float64
}

// State is what became of a place or an end.
type State int8

// The states, a closed list.
const (
	Measured State = iota
	Bare           // no ink is there
	Hidden         // other paint is too close to its edges, or lies over them
	Unclear        // the edges cannot be distinguished from noise or smears
	OffScan        // it lies beyond the scan
	Turning        // the stroke ends there, or turns too sharply for edges across
)

func (s State) String() string {
	return [...]string{"measured", "without ink", "too close to other paint", "too unclear", "beyond the scan", "at ends and sharp turns"}[s]
}

// Place is a place of a stroke. Lengths are in mm.
type Place struct {
	Layer, Stroke int
	Way           float64   // from the beginning of the stroke
	At, Along     vector.XY // on the sheet; a vector of length 1 in the direction of painting
	Asked         float64   // width
	Rise          float64   // of the asked width, in mm a mm of way
	State         State
	Width, U      float64 // measured, with its standard uncertainty
	Offset        float64 // of the middle, to the left of the direction of painting
	OffsetU       float64
	Depth         float64 // of the ink, 1 for that of the layer; 0 where it was not measured
}

// End is the beginning or the end of a stroke.
type End struct {
	Layer, Stroke int
	First         bool      // the beginning
	At, Along     vector.XY // of the asked middle of the brush; the direction of painting
	Asked         float64   // width of the mark there
	State         State
	// Beyond is how far the mark reaches beyond the asked end, outwards, in mm.
	Beyond, U float64
}

// Gap is a part of a stroke without ink, in mm from its beginning.
type Gap struct{ From, To float64 }

// Verdict is what became of a stroke.
type Verdict struct {
	Layer, Stroke int
	Missing       bool  // there is no ink of it
	Gaps          []Gap // where it is broken
	Doubled       bool  // it was painted twice
	Places        int   // that were looked at
	Measured      int   // of them
}

// Result is what was measured of all strokes, in their order.
type Result struct {
	Places  []Place
	Ends    []End
	Strokes []Verdict
}

// Measure measures strokes in a scan whose pixels have a size in mm.
func Measure(light Light, pixel float64, strokes []Stroke) *Result {
	m := &measurer{light: light, pixel: pixel, strokes: strokes, ways: make([]way, len(strokes))}
	for i, s := range strokes {
		m.ways[i] = newWay(s.Marks)
	}
	m.cover = newCover(strokes, m.ways)
	m.findInks()
	var out Result
	for i := range strokes {
		places, verdict := m.stroke(i)
		out.Places = append(out.Places, places...)
		out.Strokes = append(out.Strokes, verdict)
		if !verdict.Missing {
			out.Ends = append(out.Ends, m.end(i, true), m.end(i, false))
		}
	}
	return &out
}

// Of are the places that were measured of a layer.
func (r *Result) Of(layer int) []Place {
	var out []Place
	for _, p := range r.Places {
		if p.Layer == layer && p.State == Measured {
			out = append(out, p)
		}
	}
	return out
}

// Layers are the layers of which strokes were looked for, in their order.
func (r *Result) Layers() []int {
	var out []int
	for _, s := range r.Strokes {
		if !slices.Contains(out, s.Layer) {
			out = append(out, s.Layer)
		}
	}
	slices.Sort(out)
	return out
}
