package model

import (
	"mahlstick/recipe/seating"
	"mahlstick/recipe/source"
)

// Seating is where the marks of a sheet were found before a layer, or within it. It
// holds from there on, up to the next seating.
type Seating struct {
	Layer    string
	From     int  // stroke of the layer from which it holds; 0 for all of the layer
	Lost     bool // the machine's zero was lost, and the sheet stayed or moved
	Readings []SeatReading
	// Before is the seating that held until then; nil for a sheet at its stops.
	Before *Seating
	// Fit is where the sheet lies.
	Fit *seating.Fit
	// ZeroX, ZeroY is where the zero of the first layer is now, counted from the
	// machine's zero.
	ZeroX, ZeroY float64
	Place        source.Place
	FromPlace    source.Place // of From
}

// Lies is where the sheet lies at the end of a layer; nil if it is at its stops.
func (l *Layer) Lies() *Seating {
	if n := len(l.Moves); n > 0 {
		return l.Moves[n-1]
	}
	return l.Seating
}

// SeatReading is one reading of a mark.
type SeatReading struct {
	Mark           string
	SheetX, SheetY float64 // of the mark, on the sheet
	AxisX, AxisY   float64 // what the machine showed
	FoundX, FoundY float64 // where the mark was: with the tip offset of the layer's brush
	U              float64 // standard uncertainty of each coordinate
	Place          source.Place
}

// Points are the readings, as they are fitted.
func (s *Seating) Points(sheet *Sheet) []seating.Reading {
	var out []seating.Reading
	for _, r := range s.Readings {
		f := seating.Reading{Mark: r.Mark, FoundX: r.FoundX, FoundY: r.FoundY, U: r.U}
		f.X, f.Y = sheet.OnBed(r.SheetX, r.SheetY)
		out = append(out, f)
	}
	return out
}

// OnBed is the place, in the machine's coordinates, that a point of the sheet has
// when the sheet is at its stops.
func (s *Sheet) OnBed(x, y float64) (float64, float64) {
	layX, layY := 0.0, 0.0
	if s.Lay == LowerRight || s.Lay == UpperRight {
		layX = s.Width
	}
	if s.Lay == UpperLeft || s.Lay == UpperRight {
		layY = s.Height
	}
	x, y = x-layX, y-layY
	switch s.Turned {
	case 1:
		return -y, x
	case 2:
		return -x, -y
	case 3:
		return y, -x
	}
	return x, y
}
