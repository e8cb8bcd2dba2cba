package contour

// Look is how the drawing shows the ends and corners of a line with a width. The
// zero value has both round, as a brush paints them.
type Look struct {
	Ends    Ends
	Corners Corners
	// Reach is how far the tip of a pointed corner may lie from the corner of the
	// centre line, in half widths; beyond it the corner is cut off.
	Reach float64
	// Stretch says how the line was stretched together with its width: it covers the
	// image of what the line covered before, which had the same width all around.
	Stretch Stretch
}

// Round reports whether a brush of one width paints the line as it looks: both are
// round, and it is not stretched.
func (l Look) Round() bool {
	return l.Ends == RoundEnds && l.Corners == RoundCorners && l.Stretch.None()
}

// Ends are the shapes of the ends of a line.
type Ends uint8

// The ends: a half disc, nothing, or half a square beyond the last point.
const (
	RoundEnds Ends = iota
	FlatEnds
	SquareEnds
)

// Corners are the shapes of the corners of a line.
type Corners uint8

// The corners. One that is cut off ends at the chord between its two outer edges.
const (
	RoundCorners Corners = iota
	PointedCorners
	CutCorners
)

// CosRound is the cosine of the turn (20 degrees) up to which a pointed corner
// looks like a round one: they differ by 0.0018 of the square of half the width.
const CosRound = 0.9397
