package model

import (
	"math"

	"mahlstick/recipe/source"
)

// Well is an open pot of ink on the bed. Places are those of the tip, in the
// machine's coordinates.
type Well struct {
	Ink     string // as written
	X, Y    float64
	Opening float64 // width of its mouth
	Rim     float64 // height above the paper
	Over    float64 // height at which a brush comes and goes: over the rims of all wells
	Depth   float64 // how far the tip goes below the first touch of the paper; negative above it
	Seconds float64 // that it stays there
	Wipe    *BedPlace
	Scrap   *BedBox
	Place   source.Place
}

// BedPlace is a place on the bed.
type BedPlace struct{ X, Y float64 }

// BedBox is a box on the bed.
type BedBox struct{ MinX, MinY, MaxX, MaxY float64 }

// Overlaps reports whether two boxes have points in common.
func (b BedBox) Overlaps(c BedBox) bool {
	return b.MinX < c.MaxX && c.MinX < b.MaxX && b.MinY < c.MaxY && c.MinY < b.MaxY
}

// Within reports whether a box lies in another.
func (b BedBox) Within(c BedBox) bool {
	return b.MinX >= c.MinX && b.MaxX <= c.MaxX && b.MinY >= c.MinY && b.MaxY <= c.MaxY
}

// Grown is the box with so much more on every side.
func (b BedBox) Grown(by float64) BedBox {
	return BedBox{b.MinX - by, b.MinY - by, b.MaxX + by, b.MaxY + by}
}

// Around is the box of all places to which the brush is lowered in the well.
func (w *Well) Around() BedBox {
	b := BedBox{w.X - w.Opening/2, w.Y - w.Opening/2, w.X + w.Opening/2, w.Y + w.Opening/2}
	if w.Wipe != nil {
		b.MinX, b.MaxX = min(b.MinX, w.Wipe.X), max(b.MaxX, w.Wipe.X)
		b.MinY, b.MaxY = min(b.MinY, w.Wipe.Y), max(b.MaxY, w.Wipe.Y)
	}
	return b
}

// OverRim (mm) is how far above the rim of a well the tip comes and goes: a drop
// may hang below it. Common practice, no source.
const OverRim = 2

// WellClear (mm) is how far from a well the brush must stay on all other ways.
// Common practice, no source.
const WellClear = 5

// WipeHeight is the height of the tip above the paper while a brush is drawn over
// the rim.
func (w *Well) WipeHeight(b *Brush) float64 { return w.Rim - b.DeepestPress()/2 }

// RunIn is the mark with which a fresh load is run in on a scrap strip.
type RunIn struct {
	Width, Press float64
	Length       float64 // of the way of the tip
	Upright      bool    // along Y
	Lanes        int     // so many marks lie beside each other
}

const (
	// runInGap (mm) is between two running-in marks, half of it at the edges.
	runInGap = 1.0
	// leastRunIn is how many times as long as it is wide a running-in mark is at
	// least.
	leastRunIn = 3.0
	// usualRunIn (mm) is how long it is where no run-out was measured. Common
	// practice, no source.
	usualRunIn = 20.0
)

// RunIn is the running-in mark of a brush on the scrap strip of the well: half-way
// between its lightest and its widest mark, and so long as a run-out was measured to
// need, or 20 mm, if the strip is. ok is false if the strip is too small for one mark; there must be a
// strip.
func (w *Well) RunIn(b *Brush) (r RunIn, ok bool) {
	narrowest, _ := b.Curve.Range()
	r.Width = (narrowest + b.WidestPainted()) / 2
	press, err := b.Curve.PressFor(r.Width)
	r.Press = min(press, b.DeepestPress())
	width, height := w.Scrap.MaxX-w.Scrap.MinX, w.Scrap.MaxY-w.Scrap.MinY
	r.Upright = height > width
	room := r.Width + runInGap
	r.Length = max(width, height) - room
	r.Lanes = int(math.Floor(min(width, height) / room))
	least := float64((leastRunIn - 1) * r.Width)
	asked := usualRunIn
	if m := b.Measured; m != nil && m.RunIn.Known() {
		asked = m.RunIn.Value
	}
	r.Length = min(r.Length, max(asked, least))
	return r, err == nil && r.Lanes > 0 && r.Length >= least
}

// Lane is where a running-in mark begins; marks are counted from 0, and go over
// the first ones again when the strip is full.
func (w *Well) Lane(r RunIn, mark int) BedPlace {
	along := (r.Width + runInGap) / 2
	across := along + float64(float64(mark%r.Lanes)*(r.Width+runInGap))
	if r.Upright {
		along, across = across, along
	}
	return BedPlace{w.Scrap.MinX + along, w.Scrap.MinY + across}
}
