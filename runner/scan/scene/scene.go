// Package scene makes pictures of painted sheets as a flatbed scanner sees them,
// for tests. A painter with hidden faults follows programs' text, and a scanner
// with faults of its own looks at the sheet. It shares no code with what plans,
// proves or reads paint, so that what is read back can be compared with what was
// put in. The same numbers give the same picture. No job uses it.
package scene

import "math"

// Brush is a brush with a fault or two, seen from above. Lengths are in mm.
type Brush struct {
	// Width is how wide the mark is at a press of more than 0, in mm.
	Width func(press float64) float64
	// Lag is how far the mark trails behind the axis at a press; nil: not at all.
	Lag        func(press float64) float64
	Play       float64 // half the band within which a change of press changes nothing
	TipX, TipY float64 // where the tip is, from the axis
	Wear       float64 // share by which marks get wider for each metre painted
	// Load is the way in mm after which the ink begins to fade; 0: never.
	Load float64
	Fade float64 // mm of way over which what is left fades to nothing
}

// Cone is the width of a mark by press: that of a cone with a half-angle in
// degrees that is cut off at its tip and flattens by flat * press².
func Cone(touchMark, halfAngle, flat float64) func(press float64) float64 {
	slope := 2 * math.Tan(halfAngle*math.Pi/180)
	return func(p float64) float64 {
		return max(touchMark+float64(slope*p)-float64(flat*p*p), 0)
	}
}

// Proportional is a lag that grows from 0 to most at the press full, and is
// proportional beyond it.
func Proportional(most, full float64) func(press float64) float64 {
	return func(p float64) float64 { return most * max(p, 0) / full }
}

// Ink is the share of red, green and blue light that a full coat lets through.
type Ink [3]float64

// Some inks.
var (
	Indigo = Ink{0.12, 0.16, 0.35}
	Black  = Ink{0.06, 0.06, 0.06}
	Straw  = Ink{0.85, 0.72, 0.30}
	Moss   = Ink{0.35, 0.45, 0.18}
)

// Lying is how the sheet lay while a layer was painted: what is drawn at a place
// lies there after the sheet has grown, was turned about its lower left corner
// (radians, counter-clockwise), and was shifted (mm).
type Lying struct {
	Turn, ShiftX, ShiftY float64
	GrowX, GrowY         float64 // shares
}

// onSheet takes a place of the machine to one of the sheet as drawn.
func (l Lying) onSheet(x, y float64) (float64, float64) {
	x, y = x-l.ShiftX, y-l.ShiftY
	c, s := math.Cos(l.Turn), math.Sin(l.Turn)
	u, v := float64(x*c)+float64(y*s), float64(y*c)-float64(x*s)
	return u / (1 + l.GrowX), v / (1 + l.GrowY)
}

// Mishap is what went wrong with one stroke, by its number in the program.
type Mishap struct {
	Stroke int
	// Missing leaves it out, wholly or from a share of its way to another.
	Missing  bool
	From, To float64
	// Again paints it a second time, shifted.
	Again          bool
	ShiftX, ShiftY float64 // mm
	// Smear draws a thinning trail of wet ink this far to the right, in mm.
	Smear float64
}

// Layer is a program and how it was painted.
type Layer struct {
	Program string // its text
	Brush   Brush
	Ink     Ink
	Deep    float64 // mm by which the touch-off was too deep
	// DeepAgain is Deep after each further touch-off that the program asks for.
	DeepAgain []float64
	Bed       func(x, y float64) float64 // mm by which the paper is higher there; nil: flat
	Lying     Lying
	Mishaps   []Mishap
}

// Sheet is a painted sheet: its size in mm, and what lies on it.
type Sheet struct {
	Width, Height float64
	coats         []coat
}

// coat is the paint of a layer, or a second one of a stroke.
type coat struct {
	ink   Ink
	dabs  []dab
	fades bool
}

// dab is a moment of painting: where the mark is, on the sheet, how wide, and how
// much of a full coat it leaves.
type dab struct{ x, y, r, ink float64 }

// Paint paints layers on a sheet of a size in mm.
func Paint(width, height float64, layers ...Layer) (*Sheet, error) {
	s := &Sheet{Width: width, Height: height}
	for _, l := range layers {
		path, err := interpret(l.Program)
		if err != nil {
			return nil, err
		}
		s.coats = append(s.coats, l.paint(path)...)
	}
	return s, nil
}
