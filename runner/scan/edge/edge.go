// Package edge measures marks in a scan to a part of a pixel. The edge of a mark is
// where the reflectance, in linear light, is half-way between that of what lies
// beside the mark and that of the mark itself; it is averaged along the mark.
package edge

// Mark is a mark as measured across, along a line through a place. Lengths are in mm
// on the sheet, counted along the line from the place.
type Mark struct {
	From, To float64 // the two edges, From < To
	// U is the standard uncertainty of the width, MiddleU that of the middle: from
	// the scatter of the edge along the mark, the noise and the resolution.
	U, MiddleU float64
	// Soft is how far the light takes from a quarter to three quarters of the contrast, in
	// mm, the median of both edges; 0 for a mark too thin to say so.
	Soft float64
	Core [3]float32 // light of the mark itself, in parts of the light of paper
	// Contrast is how much less light the mark reflects than what lies beside it, as a
	// part of the light of paper.
	Contrast float64
	// Why is why the mark could not be measured; None if it was.
	Why Why
}

// Width is how wide the mark is.
func (m Mark) Width() float64 { return m.To - m.From }

// Middle is how far its middle is from the place.
func (m Mark) Middle() float64 { return (m.From + m.To) / 2 }

// Why is why a mark could not be measured.
type Why int8

// The reasons, a closed list.
const (
	None       Why = iota
	NoMark         // nothing differs from the paper there
	Faint          // what is there differs too little from what lies beside it
	OffScan        // the place is not on the scan, or too near its edge
	Smeared        // an edge is not sharp anywhere
	Covered        // other marks lie over its edges all along
	NotAlone       // it runs into another mark
	TooCoarse      // it is less than two pixels wide
	TooUnequal     // its width varies so much that no mean would mean anything
)

func (w Why) String() string {
	return [...]string{"", "no mark is there", "the mark is too faint", "the place is not on the scan", "the mark is smeared",
		"other marks lie over its edges", "the mark runs into another", "the mark is too thin for the resolution of the scan", "the mark is too uneven"}[w]
}
