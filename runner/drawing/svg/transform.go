package svg

import (
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/runner/drawing/affine"
)

// parseTransform reads a list of transforms. If it cannot, from and to are the part of
// the text that is wrong.
//
// Source: SVG 1.1 section 7.6, CSS Transforms Module Level 1, section 9.
func parseTransform(text string) (m affine.Map, from, to int, ok bool) {
	m = affine.Scale(1)
	s := &scanner{text: text}
	for !s.atEnd() {
		start := s.pos
		open := strings.IndexByte(text[start:], '(')
		if open < 0 {
			return m, start, len(text), false
		}
		name := strings.TrimSpace(text[start : start+open])
		s.pos = start + open + 1
		var v []float64
		for s.skipBlanks(); s.pos < len(text) && text[s.pos] != ')'; s.skipComma() {
			x, ok := s.number()
			if !ok || len(v) >= 6 {
				return m, start, min(s.pos+1, len(text)), false
			}
			v = append(v, x)
		}
		if s.pos >= len(text) {
			return m, start, len(text), false
		}
		s.pos++
		step, ok := transformStep(name, v)
		if !ok {
			return m, start, s.pos, false
		}
		m = m.After(&step)
		s.skipComma()
	}
	return m, 0, 0, true
}

func transformStep(name string, v []float64) (affine.Map, bool) {
	n := len(v)
	switch {
	case name == "matrix" && n == 6:
		return affine.Flat(v[0], v[1], v[2], v[3], v[4], v[5]), true
	case name == "translate" && n == 1:
		return affine.Flat(1, 0, 0, 1, v[0], 0), true
	case name == "translate" && n == 2:
		return affine.Flat(1, 0, 0, 1, v[0], v[1]), true
	case name == "scale" && n == 1:
		return affine.Flat(v[0], 0, 0, v[0], 0, 0), true
	case name == "scale" && n == 2:
		return affine.Flat(v[0], 0, 0, v[1], 0, 0), true
	case name == "rotate" && (n == 1 || n == 3):
		sin, cos := arith.SinCosDegrees(v[0])
		turn := affine.Flat(cos, sin, -sin, cos, 0, 0)
		if n == 3 {
			there, back := affine.Flat(1, 0, 0, 1, v[1], v[2]), affine.Flat(1, 0, 0, 1, -v[1], -v[2])
			turn = there.After(&turn)
			turn = turn.After(&back)
		}
		return turn, true
	case name == "skewX" && n == 1:
		sin, cos := arith.SinCosDegrees(v[0])
		return affine.Flat(1, 0, sin/cos, 1, 0, 0), true
	case name == "skewY" && n == 1:
		sin, cos := arith.SinCosDegrees(v[0])
		return affine.Flat(1, sin/cos, 0, 1, 0, 0), true
	}
	return affine.Map{}, false
}

// viewBox is the part of the plane that a viewport shows.
type viewBox struct{ x, y, width, height float64 }

func parseViewBox(text string) (v viewBox, ok bool) {
	s := &scanner{text: text}
	for _, p := range []*float64{&v.x, &v.y, &v.width, &v.height} {
		s.skipComma()
		if *p, ok = s.number(); !ok {
			return v, false
		}
	}
	return v, s.atEnd() && v.width > 0 && v.height > 0
}

// fit is the map that puts a view box into a viewport of a width and a
// height.
//
// Source: SVG 2, section 8.2, "The computed style of viewport-related
// properties: equivalent transform"; preserveAspectRatio is the second text.
func (v viewBox) fit(aspect string, width, height float64) affine.Map {
	sx, sy := width/v.width, height/v.height
	words := strings.Fields(aspect)
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:]
	}
	align := "xMidYMid"
	if len(words) > 0 {
		align = words[0]
	}
	if align == "none" {
		return affine.Flat(sx, 0, 0, sy, -float64(v.x*sx), -float64(v.y*sy))
	}
	s := min(sx, sy)
	if len(words) > 1 && words[1] == "slice" {
		s = max(sx, sy)
	}
	share := func(word string) float64 {
		switch {
		case strings.Contains(align, word+"Min"):
			return 0
		case strings.Contains(align, word+"Max"):
			return 1
		}
		return 0.5
	}
	return affine.Flat(s, 0, 0, s,
		float64((width-float64(v.width*s))*share("x"))-float64(v.x*s),
		float64((height-float64(v.height*s))*share("Y"))-float64(v.y*s))
}
