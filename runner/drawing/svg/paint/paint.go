// Package paint reads values of fill and stroke: which are clear, and in which
// colour the others are.
package paint

import (
	"slices"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/colour"
	"mahlstick/runner/drawing/decimal"
)

// Paint is a value of fill or stroke.
type Paint struct {
	None bool
	// Server is the identifier of a gradient or a pattern, "" for a colour.
	// Then the rest is what counts where there is none of that name.
	Server string
	// Current says that the colour is the value of the property color.
	Current bool
	Colour
}

// Colour is a colour and how opaque it is.
type Colour struct {
	Alpha float64 // 0 is clear, 1 opaque
	colour.RGB
}

// IsWhite reports whether it is the colour of bare paper.
func (c Colour) IsWhite() bool { return c.RGB == colour.White }

// Black is the colour of what states none.
var black = Colour{Alpha: 1}

// Parse reads a value of fill or stroke. It answers false for one that is none;
// such a declaration is left out.
//
// Source: SVG 2, section 13.2, "Specifying paint"; CSS Color Module Level 4,
// sections 4 to 7; from memory.
func Parse(value string) (p Paint, ok bool) {
	value = strings.TrimSpace(value)
	if rest, is := cutFold(value, "url("); is {
		id, fallback, closed := strings.Cut(rest, ")")
		if !closed {
			return p, false
		}
		p = Paint{None: true}
		if fallback = strings.TrimSpace(fallback); fallback != "" {
			if p, ok = Parse(fallback); !ok || p.Server != "" {
				return p, false
			}
		}
		p.Server = strings.TrimPrefix(strings.Trim(strings.TrimSpace(id), `"'`), "#")
		return p, p.Server != ""
	}
	switch strings.ToLower(value) {
	case "none", "context-fill", "context-stroke": // the latter have no context outside of markers
		return Paint{None: true}, true
	case "currentcolor":
		return Paint{Current: true, Colour: black}, true
	}
	c, ok := ParseColour(value)
	return Paint{Colour: c}, ok
}

func cutFold(s, prefix string) (rest string, ok bool) {
	if len(s) >= len(prefix) && strings.EqualFold(s[:len(prefix)], prefix) {
		return s[len(prefix):], true
	}
	return s, false
}

// ParseColour reads a colour.
func ParseColour(value string) (Colour, bool) {
	value = strings.ToLower(strings.TrimSpace(value))
	switch {
	case value == "transparent":
		return Colour{}, true
	case strings.HasPrefix(value, "#"):
		return hex(value[1:])
	case strings.HasSuffix(value, ")"):
		name, arguments, ok := strings.Cut(value[:len(value)-1], "(")
		if !ok {
			return Colour{}, false
		}
		return function(strings.TrimSpace(name), arguments)
	}
	if c, ok := colour.Named(value); ok {
		return Colour{Alpha: 1, RGB: c}, true
	}
	// System colours are whatever the reader's screen has; ink is dark there.
	return black, slices.Contains(systemColours, value)
}

// Source: CSS Color Module Level 4, section 6.2; from memory.
var systemColours = []string{
	"accentcolor", "accentcolortext", "activetext", "buttonborder", "buttonface", "buttontext", "canvas", "canvastext", "field",
	"fieldtext", "graytext", "highlight", "highlighttext", "linktext", "mark", "marktext", "selecteditem", "selecteditemtext", "visitedtext",
}

// rgb is a colour with parts from 0 to 255.
func rgb(r, g, b, alpha float64) Colour {
	part := func(v float64) uint8 { return uint8(min(max(v, 0), 255) + 0.5) }
	return Colour{Alpha: min(max(alpha, 0), 1), RGB: colour.RGB{R: part(r), G: part(g), B: part(b)}}
}

// hex reads #rgb, #rgba, #rrggbb, #rrggbbaa.
func hex(digits string) (Colour, bool) {
	var v [8]float64
	for i := range len(digits) {
		d := strings.IndexByte("0123456789abcdef", digits[i])
		if d < 0 || i >= len(v) {
			return Colour{}, false
		}
		v[i] = float64(d)
	}
	switch len(digits) {
	case 3:
		return rgb(17*v[0], 17*v[1], 17*v[2], 1), true
	case 4:
		return rgb(17*v[0], 17*v[1], 17*v[2], v[3]/15), true
	case 6:
		return rgb(16*v[0]+v[1], 16*v[2]+v[3], 16*v[4]+v[5], 1), true
	case 8:
		return rgb(16*v[0]+v[1], 16*v[2]+v[3], 16*v[4]+v[5], (16*v[6]+v[7])/255), true
	}
	return Colour{}, false
}

// argument is a number of a colour function.
type argument struct {
	value   float64
	percent bool
	unit    string // of a hue
	none    bool
}

// share is the number as a share of 1; percentages may lack their sign.
func (a argument) share() float64 { return min(max(a.value/100, 0), 1) }

// turn is a hue in turns.
func (a argument) turn() float64 {
	switch a.unit {
	case "turn":
		return a.value
	case "rad":
		return a.value / (2 * arith.Pi)
	case "grad":
		return a.value / 400
	}
	return a.value / 360
}

// of is the number as a share of a whole, or as it is.
func (a argument) of(whole float64) float64 {
	if a.percent {
		return a.value / 100 * whole
	}
	return a.value
}

func arguments(text string) (list []argument, ok bool) {
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n\f,/", r) }) {
		if word == "none" {
			list = append(list, argument{none: true})
			continue
		}
		number, percent := strings.CutSuffix(word, "%")
		digits := strings.TrimRight(number, "abcdefghijklmnopqrstuvwxyz")
		v, ok := decimal.Parse([]byte(digits))
		if !ok {
			return nil, false
		}
		list = append(list, argument{value: v, percent: percent, unit: number[len(digits):]})
	}
	return list, true
}

// function reads a colour written as a function.
func function(name, text string) (Colour, bool) {
	if name == "color" { // the colour space comes first
		text = strings.TrimSpace(text)
		space, rest, _ := strings.Cut(text, " ")
		name, text = "color "+space, rest
	}
	v, ok := arguments(text)
	if !ok || len(v) != 3 && len(v) != 4 {
		return Colour{}, false
	}
	alpha := 1.0
	if len(v) == 4 {
		alpha = min(max(v[3].of(1), 0), 1)
	}
	var parts [3]float64
	switch name {
	case "rgb", "rgba":
		return rgb(v[0].of(255), v[1].of(255), v[2].of(255), alpha), true
	case "hsl", "hsla":
		parts = fromHSL(v[0].turn(), v[1].share(), v[2].share())
	case "hwb":
		parts = fromHWB(v[0].turn(), v[1].share(), v[2].share())
	case "lab":
		parts = fromLab(v[0].value, v[1].of(125), v[2].of(125))
	case "lch":
		a, b := polar(v[1].of(150), v[2].turn())
		parts = fromLab(v[0].value, a, b)
	case "oklab":
		parts = fromOklab(v[0].of(1), v[1].of(0.4), v[2].of(0.4))
	case "oklch":
		a, b := polar(v[1].of(0.4), v[2].turn())
		parts = fromOklab(v[0].of(1), a, b)
	default:
		space, is := strings.CutPrefix(name, "color ")
		if !is {
			return Colour{}, false
		}
		parts = fromSpace(space, [3]float64{v[0].of(1), v[1].of(1), v[2].of(1)})
	}
	return rgb(255*parts[0], 255*parts[1], 255*parts[2], alpha), true
}
