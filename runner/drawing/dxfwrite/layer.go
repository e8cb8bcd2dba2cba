package dxfwrite

import (
	"fmt"
	"strconv"

	"github.com/yofu/dxf/color"
)

// Look is how a layer looks, and what may be done with it.
type Look struct {
	Colour     string // "#rrggbb", "" for one of the usual colours in turn
	NotPlotted bool   // it is shown, never printed nor painted
	Locked     bool   // what is on it can be seen, not changed
}

// rgb is a colour, one byte a part.
type rgb struct{ r, g, b uint8 }

// parseColour reads "#rrggbb".
func parseColour(text string) (rgb, error) {
	if len(text) == 7 && text[0] == '#' {
		if n, err := strconv.ParseUint(text[1:], 16, 32); err == nil {
			return rgb{uint8(n >> 16), uint8(n >> 8), uint8(n)}, nil
		}
	}
	return rgb{}, fmt.Errorf("%q is no colour: write # and six digits from 0 to 9 and a to f", text)
}

// nearest is the entry of the DXF colour index nearest to c. Entry 7 is left
// out, since it is black or white as the screen is.
func (c rgb) nearest() color.ColorNumber {
	square := func(a, b uint8) int { return (int(a) - int(b)) * (int(a) - int(b)) }
	best, least := color.ColorNumber(1), 1<<30
	for n := 1; n < len(color.ColorRGB) && n < 256; n++ {
		e := color.ColorRGB[n]
		// The eye sees differences in green best and in blue worst; common
		// practice, no source.
		d := 3*square(c.r, e[0]) + 6*square(c.g, e[1]) + square(c.b, e[2])
		if n != 7 && d < least {
			best, least = color.ColorNumber(n), d
		}
	}
	return best
}

// number is the colour as group 420 states it.
func (c rgb) number() int { return int(c.r)<<16 | int(c.g)<<8 | int(c.b) }

// WriteString notes which layer's entry is being written.
func (f *shortNumbers) WriteString(code int, text string) {
	switch {
	case code == 0:
		f.layer, f.look = text == "LAYER", Look{}
	case code == 2 && f.layer:
		f.look = f.looks[text]
	}
	f.ASCII.WriteString(code, text)
}

// WriteInt adds what the library cannot say of a layer: its true colour, and
// that it is not plotted.
//
// Source: DXF Reference, LAYER: 420 is a true colour, 290 with 0 that the
// layer is not plotted.
func (f *shortNumbers) WriteInt(code, value int) {
	if f.layer && code == 370 && f.look.NotPlotted {
		f.ASCII.WriteInt(290, 0)
	}
	f.ASCII.WriteInt(code, value)
	if f.layer && code == 62 && f.look.Colour != "" {
		if c, err := parseColour(f.look.Colour); err == nil { // it was checked before
			f.ASCII.WriteInt(420, c.number())
		}
	}
}
