// Package colour has the colours that drawings state: red, green and blue, as
// #rrggbb or by a name of the CSS colour standard.
package colour

import (
	"maps"
	"slices"
	"strings"

	"golang.org/x/image/colornames"
)

// RGB is a colour of the sRGB colour space.
type RGB struct{ R, G, B uint8 }

// White is the colour of bare paper.
var White = RGB{255, 255, 255}

// String writes a colour as #rrggbb.
func (c RGB) String() string {
	const digits = "0123456789abcdef"
	out := [7]byte{'#'}
	for i, v := range [3]uint8{c.R, c.G, c.B} {
		out[1+2*i], out[2+2*i] = digits[v>>4], digits[v&15]
	}
	return string(out[:])
}

// Parse reads #rrggbb, #rgb or a name, in letters of either case.
func Parse(text string) (RGB, bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	digits, isHex := strings.CutPrefix(text, "#")
	if !isHex {
		return Named(text)
	}
	if len(digits) == 3 {
		digits = string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]})
	}
	if len(digits) != 6 {
		return RGB{}, false
	}
	var v [6]uint8
	for i := range v {
		d := strings.IndexByte("0123456789abcdef", digits[i])
		if d < 0 {
			return RGB{}, false
		}
		v[i] = uint8(d)
	}
	return RGB{v[0]<<4 | v[1], v[2]<<4 | v[3], v[4]<<4 | v[5]}, true
}

// rebecca is a named colour that is younger than the library's list.
const rebecca = "rebeccapurple"

// Named finds the colour with a name, in lower case.
//
// Source: CSS Color Module Level 4, section 6.1, "Named Colors".
func Named(name string) (RGB, bool) {
	if name == rebecca {
		return RGB{0x66, 0x33, 0x99}, true
	}
	c, ok := colornames.Map[name]
	return RGB{c.R, c.G, c.B}, ok
}

// Names lists all names in alphabetical order.
func Names() []string {
	return slices.Sorted(maps.Keys(colornames.Map))
}

// Distance says how far apart two colours are: the sum of the squares of their
// differences, each weighted by how much it adds to the lightness.
func Distance(c, d RGB) int {
	square := func(a, b uint8) int { return (int(a) - int(b)) * (int(a) - int(b)) }
	return 2*square(c.R, d.R) + 4*square(c.G, d.G) + square(c.B, d.B)
}

// Nearest finds the colour of a list that is nearest to c, the first of equals.
func Nearest(c RGB, list []RGB) (RGB, bool) {
	if len(list) == 0 {
		return RGB{}, false
	}
	return slices.MinFunc(list, func(a, b RGB) int { return Distance(c, a) - Distance(c, b) }), true
}

// NameOf is the name of the named colour that is nearest to c.
func NameOf(c RGB) string {
	best, least := "", 0
	for _, name := range Names() {
		named, _ := Named(name)
		if d := Distance(c, named); best == "" || d < least {
			best, least = name, d
		}
	}
	return best
}

// Lightness orders colours from dark to pale, from 0 to 255,000: the luma of
// Recommendation ITU-R BT.709 (0.2126, 0.7152, 0.0722), times 1000.
func (c RGB) Lightness() int {
	return (2126*int(c.R) + 7152*int(c.G) + 722*int(c.B)) / 10
}
