package brushwork

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"

	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// Frame is how a drawing lies: its unit, and where the sheet's lower left
// corner is in it.
type Frame struct {
	Unit     string
	mm       float64   // in one unit
	decimals float64   // power of ten
	Corner   vector.XY // mm
}

// NewFrame places a drawing in a unit: mm, cm or in.
func NewFrame(unit string, corner vector.XY) Frame {
	f := Frame{Unit: unit, mm: 1, decimals: 1e4, Corner: corner}
	switch unit {
	case "cm":
		f.mm, f.decimals = 10, 1e5
	case "in":
		f.mm, f.decimals = 25.4, 1e6
	}
	return f
}

// Length is a length of the sheet (mm) in the drawing's unit.
func (f Frame) Length(mm float64) float64 { return Rounded(mm/f.mm, f.decimals) }

// At is a point of the sheet in the drawing.
func (f Frame) At(p vector.XY) vector.XY {
	q := p.Plus(f.Corner)
	return vector.XY{X: f.Length(q.X), Y: f.Length(q.Y)}
}

// Rounded is v to so many decimals, given as their power of ten.
func Rounded(v, decimals float64) float64 { return math.Floor(Mul(v, decimals)+0.5) / decimals }

// File is a drawing under its name, without the ending.
type File struct {
	Name string
	Out  dxfwrite.File
	SVG  string // the whole file, if it is an SVG
}

// Write writes drawings into a folder.
func Write(folder string, files []File) error {
	for _, f := range files {
		if f.SVG != "" {
			if err := os.WriteFile(filepath.Join(folder, f.Name+".svg"), []byte(f.SVG), 0o644); err != nil {
				return err
			}
			continue
		}
		var b bytes.Buffer
		if err := dxfwrite.Write(&b, f.Out); err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
		if err := os.WriteFile(filepath.Join(folder, f.Name+".dxf"), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// Command writes drawings into the folder given by the flag --to, as the
// command of a generator.
func Command(folder string, files []File) {
	to := flag.String("to", folder, "the `folder` to write the drawings into")
	flag.Parse()
	if err := Write(*to, files); err != nil {
		fmt.Fprintln(os.Stderr, "draw:", err)
		os.Exit(1)
	}
}
