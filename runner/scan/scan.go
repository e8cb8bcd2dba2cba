// Package scan reads paint from a scan: it lays a scanned sheet on the sheet of a job
// by what is painted on it, and measures its marks.
package scan

import (
	"math"

	"mahlstick/runner/scan/align"
	"mahlstick/runner/scan/paper"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
	"mahlstick/runner/vector"
)

// Job is what a job paints, as the reader of a scan has to know it. Lengths are in mm
// on the sheet.
type Job struct {
	Width, Height float64  // of the sheet
	Strokes       []Stroke // in the order of painting
	Readings      []trial.Reading
	Sheets        int // sheets of a swatch job, else 1
}

// Stroke is a painted stroke.
type Stroke struct {
	align.Path             // Program counts the layers of the job, or the programs of a swatch sheet, from 0
	Layer      string      // its name
	Number     int         // in its program, from 1
	Sheet      int         // on which sheet it is, from 1
	Kind       stroke.Kind // what it is for
	Reading    int         // number of its first reading; 0 for a mark that is not measured
	Readings   int         // how many it has
	Ink        [3]uint8    // red, green and blue as the recipe states the ink
	Assumed    bool        // its widths are assumed, because the brush was not measured
}

// Sheet is a scan laid on the sheet of a job.
type Sheet struct {
	Job    *Job
	Number int       // which sheet of the job it is, from 1
	Map    align.Map // from mm on the sheet to pixels
	// Shifts are how far the marks of each program lie from where the first program
	// that was found would put them, in mm on the sheet: by a wrong tip offset, or by a
	// sheet that was moved. U is the standard uncertainty of each coordinate. Programs
	// without marks on the scan are missing.
	Shifts map[int]Shift
	// Alike is twice the ink that scan and job have in common, as a part of the ink of both.
	Alike float64
	// Scatter is how far marks lie beside their places in the median, in mm.
	Scatter float64
	// ScaleU is the relative standard uncertainty of the scale along x and y.
	ScaleU [2]float64
	// Blur is the standard deviation of the scan's blur in mm, as the sharpest edges say.
	Blur float64

	image *raster.Image
	view  *paper.View
	near  *neighbours
	cores map[int][3]float32 // light of each program's ink, where its marks are wide
}

// Shift is how far the marks of a program are moved.
type Shift struct {
	X, Y, U float64 // mm
}

// At is the light of a place of the sheet, in red, green and blue from 0 to 1, in
// linear light; false beyond the scan.
func (s *Sheet) At(p vector.XY) ([3]float32, bool) {
	at := s.Map.Pixel(p)
	return s.image.At(at.X, at.Y)
}

// Image is the scan as decoded.
func (s *Sheet) Image() *raster.Image { return s.image }

// Geometry is how a scan lies on its sheet.
type Geometry struct {
	DPIX, DPIY  float64 // pixels an inch of the sheet, along its x and y
	Turn, Shear float64 // degrees counter-clockwise of the sheet as the scan shows it; and by how much its y leans
}

// Geometry is how the scan lies on the sheet.
func (s *Sheet) Geometry() Geometry {
	x, y := vector.XY{X: s.Map.XX, Y: -s.Map.YX}, vector.XY{X: s.Map.XY, Y: -s.Map.YY} // with y up
	degrees := 180 / math.Pi
	return Geometry{DPIX: x.Length() * 25.4, DPIY: y.Length() * 25.4, Turn: math.Atan2(x.Y, x.X) * degrees,
		Shear: math.Atan2(x.Dot(y), x.Cross(y)) * degrees}
}
