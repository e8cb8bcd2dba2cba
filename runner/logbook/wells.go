package logbook

import (
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/runner/vector"
)

// Well is a pot of ink on the bed, in the machine's coordinates.
type Well struct {
	Ink, Hex string
	At       vector.XY // its middle
	Opening  float64
	Wipe     *vector.XY // where the brush is drawn to over the rim; nil if it is not
	Scrap    *Scrap     // nil without one
}

// Scrap is a strip on which loads are run in: its least X and Y, and its size.
type Scrap struct {
	At            vector.XY
	Width, Height float64
}

// drawWells draws the wells, the ways over their rims and the scrap strips.
func drawWells(b *bedPicture, wells []Well) {
	for _, w := range wells {
		if s := w.Scrap; s != nil {
			b.WriteString(`<rect class="paper scrap" x="` + mm(b.x+s.At.X) + `" y="` + mm(b.y-s.At.Y-s.Height) + `" width="` + mm(s.Width) + `" height="` + mm(s.Height) + `"/>`)
		}
		x, y := b.x+w.At.X, b.y-w.At.Y
		b.WriteString(`<circle class="well" fill="` + string(hexColour(w.Hex)) + `" cx="` + mm(x) + `" cy="` + mm(y) + `" r="` + mm(w.Opening/2) + `"/>`)
		if p := w.Wipe; p != nil {
			b.WriteString(`<path class="wipe" d="M` + mm(x) + " " + mm(y) + "L" + mm(b.x+p.X) + " " + mm(b.y-p.Y) + `"/>`)
		}
	}
}

// room makes the picture large enough for wells and scrap strips: left, top, right
// and bottom of what is shown, in mm from the upper left corner of the sheet.
func room(b *bedPicture, wells []Well) (left, top, right, bottom float64) {
	left, top, right, bottom = -b.pad, -b.pad, b.width+b.pad, b.height+b.pad
	around := func(x, y, half float64) {
		half += float64(b.pad * 0.15)
		left, right = min(left, b.x+x-half), max(right, b.x+x+half)
		top, bottom = min(top, b.y-y-half), max(bottom, b.y-y+half)
	}
	for _, w := range wells {
		around(w.At.X, w.At.Y, w.Opening/2)
		if w.Wipe != nil {
			around(w.Wipe.X, w.Wipe.Y, 0)
		}
		if s := w.Scrap; s != nil {
			around(s.At.X, s.At.Y, 0)
			around(s.At.X+s.Width, s.At.Y+s.Height, 0)
		}
	}
	return left, top, right, bottom
}

// wellNames says which wells there are and where.
func wellNames(wells []Well) string {
	var names []string
	for _, w := range wells {
		names = append(names, w.Ink+" at X "+format.Page.Number(w.At.X, 1)+", Y "+format.Page.Number(w.At.Y, 1))
	}
	if len(names) == 1 {
		return "the well of " + names[0]
	}
	return "the wells of " + strings.Join(names, "; ")
}

// FillWells is what the painter does about the wells before the first layer; "" if
// there are none.
func (p *Page) FillWells() string {
	if len(p.Wells) == 0 {
		return ""
	}
	text := "Set out and fill " + wellNames(p.Wells)
	for _, w := range p.Wells {
		if w.Scrap != nil {
			text += ", and lay scrap of the same paper beside them"
			break
		}
	}
	return text + ". The machine does not feel the bottom of a well: with each brush, watch the first visit with a hand at the stop, and stop before a well is empty."
}

// wellsText is what the caption of the picture says of the wells.
func wellsText(wells []Well) string {
	if len(wells) == 0 {
		return ""
	}
	strips, wipes := false, false
	for _, w := range wells {
		strips, wipes = strips || w.Scrap != nil, wipes || w.Wipe != nil
	}
	text := "Round: " + wellNames(wells)
	if wipes {
		text += ", with the way over the rim"
	}
	if strips {
		text += "; pale: scrap for running in"
	}
	return text + ". "
}
