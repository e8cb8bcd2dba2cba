package svg

import (
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/decimal"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/vector"
)

// moves are the values of the properties that move an element, "" where they are
// not stated.
type moves struct {
	transform, translate, rotate, scale string
	origin, box                         string
}

// box is what shares in transforms are of.
type refBox struct{ x, y, width, height float64 }

// transformOf is the map that an element's attribute and style put on it. It
// reports what is wrong with the attribute.
//
// Source: CSS Transforms Module Level 2, section 6, "Current transformation
// matrix"; from memory.
func transformOf(w *walker, n *node, o *own, s *state) (affine.Map, bool) {
	m, ok := affine.Scale(1), true
	switch text := n.rawAttr("transform"); {
	case o.moves.transform == "" && strings.TrimSpace(text) != "" && strings.TrimSpace(text) != "none":
		var from, to int
		if m, from, to, ok = parseTransform(text); !ok {
			w.report.failAttrPart(n, "transform", from, to, problem.Advise("write it as matrix, translate, scale, rotate, skewX or skewY with the right count of numbers"),
				"%q is no transform", clip(text[from:to]))
			return m, false
		}
		if o.moves == (moves{}) {
			return m, true
		}
	case o.moves == (moves{}):
		return m, true
	}
	box, known := referenceBox(w, n, o, s)
	style, sound := o.moves.list(box)
	origin, placed := transformOrigin(o.moves.origin, box)
	if !sound || !placed || !known {
		w.report.warnOnce(n, problem.UnreadStyle, "transform", problem.Advise("save the drawing as plain SVG with transforms as attributes"),
			"this element is moved by its style in a way that is not understood; it is read where it is without")
		return m, ok
	}
	there, back := affine.Shift(origin.X, origin.Y, 0), affine.Shift(-origin.X, -origin.Y, 0)
	there = there.After(&style)
	there = there.After(&m)
	return there.After(&back), ok
}

// referenceBox is what shares are of: the viewport, or what the shape fills.
func referenceBox(w *walker, n *node, o *own, s *state) (refBox, bool) {
	switch o.moves.box {
	case "", "view-box":
		return refBox{0, 0, s.width, s.height}, true
	case "fill-box", "content-box":
		if isShape(n.kind) {
			return fillBox(w, n, o, s), true
		}
	}
	return refBox{}, false
}

// fillBox is the box around a shape without its stroke.
func fillBox(w *walker, n *node, o *own, s *state) refBox {
	outlines, _ := (&outliner{report: w.report, n: n, own: o}).outlines(s)
	box := vector.Empty()
	identity := affine.Scale(1)
	for _, l := range outlines {
		pen := flatten.Pen{Tolerance: 1e-4, Rough: true, Room: 1 << 20}
		l.Curve.Flatten(&identity, &pen)
		box = box.Union(vector.Bounds(pen.Points))
	}
	if box.Min.X > box.Max.X {
		return refBox{}
	}
	return refBox{box.Min.X, box.Min.Y, box.Max.X - box.Min.X, box.Max.Y - box.Min.Y}
}

// transformOrigin is the point that transforms leave in place.
func transformOrigin(text string, box refBox) (vector.XY, bool) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return vector.XY{X: box.x, Y: box.y}, true
	}
	if len(words) == 3 { // the third is a depth
		words = words[:2]
	}
	vertical := func(w string) bool { return w == "top" || w == "bottom" }
	horizontal := func(w string) bool { return w == "left" || w == "right" }
	x, y := words[0], "center"
	if len(words) == 2 {
		y = words[1]
	}
	if vertical(x) || len(words) == 2 && horizontal(y) {
		x, y = y, x
	}
	px, ok1 := originPart(x, box.x, box.width, "left", "right")
	py, ok2 := originPart(y, box.y, box.height, "top", "bottom")
	return vector.XY{X: px, Y: py}, ok1 && ok2 && len(words) <= 2
}

func originPart(word string, start, size float64, low, high string) (float64, bool) {
	switch word {
	case low:
		return start, true
	case high:
		return start + size, true
	case "center":
		return start + size/2, true
	}
	l, ok := parseLength(word)
	return start + l.px(size), ok
}

// list is the map of the style's transforms. It answers false where one of them
// is not understood.
func (v *moves) list(box refBox) (m affine.Map, ok bool) {
	m, ok = affine.Scale(1), true
	add := func(function string, arguments []string) {
		step, sound := cssStep(function, arguments, box)
		m, ok = m.After(&step), ok && sound
	}
	property := func(value, function string) {
		if words := strings.Fields(value); len(words) > 0 && value != "none" {
			if function == "rotate" && len(words) == 2 && words[0] == "z" {
				words = words[1:]
			}
			add(function, words)
		}
	}
	property(v.translate, "translate")
	property(v.rotate, "rotate")
	property(v.scale, "scale")
	text := lower(v.transform)
	for text = strings.TrimSpace(text); text != "" && text != "none"; text = strings.TrimSpace(text) {
		name, rest, opened := strings.Cut(text, "(")
		inner, after, closed := strings.Cut(rest, ")")
		if !opened || !closed {
			return m, false
		}
		add(strings.TrimSpace(name), slices.DeleteFunc(strings.FieldsFunc(inner, func(r rune) bool { return r == ',' || r == ' ' }), func(s string) bool { return s == "" }))
		text = after
	}
	return m, ok
}

// cssStep is the map of one function of the property transform.
//
// Source: CSS Transforms Module Level 1, section 8; from memory.
func cssStep(name string, words []string, box refBox) (m affine.Map, ok bool) {
	if len(words) == 0 || len(words) > 6 {
		return m, false
	}
	ok = true
	length := func(i int, whole float64) float64 {
		if i >= len(words) {
			return 0
		}
		l, sound := parseLength(words[i])
		ok = ok && sound && (l.unit != "" || l.value == 0)
		return l.px(whole)
	}
	number := func(i int) float64 {
		text, percent := strings.CutSuffix(words[i], "%")
		v, sound := decimal.Parse([]byte(text))
		if ok = ok && sound; percent {
			v /= 100
		}
		return v
	}
	turn := func(i int) float64 {
		if i >= len(words) {
			return 0
		}
		v, sound := degrees(words[i])
		ok = ok && sound
		return v
	}
	count := len(words)
	switch {
	case name == "matrix" && count == 6:
		m = affine.Flat(number(0), number(1), number(2), number(3), number(4), number(5))
	case name == "translate" && count <= 2:
		m = affine.Shift(length(0, box.width), length(1, box.height), 0)
	case name == "translatex" && count == 1:
		m = affine.Shift(length(0, box.width), 0, 0)
	case name == "translatey" && count == 1:
		m = affine.Shift(0, length(0, box.height), 0)
	case name == "scale" && count <= 2:
		m = affine.Flat(number(0), 0, 0, number(count-1), 0, 0)
	case name == "scalex" && count == 1:
		m = affine.Flat(number(0), 0, 0, 1, 0, 0)
	case name == "scaley" && count == 1:
		m = affine.Flat(1, 0, 0, number(0), 0, 0)
	case (name == "rotate" || name == "rotatez") && count == 1:
		sin, cos := arith.SinCosDegrees(turn(0))
		m = affine.Flat(cos, sin, -sin, cos, 0, 0)
	case name == "skew" && count <= 2:
		m = affine.Flat(1, tan(turn(1)), tan(turn(0)), 1, 0, 0)
	case name == "skewx" && count == 1:
		m = affine.Flat(1, 0, tan(turn(0)), 1, 0, 0)
	case name == "skewy" && count == 1:
		m = affine.Flat(1, tan(turn(0)), 0, 1, 0, 0)
	default:
		return affine.Scale(1), false
	}
	return m, ok
}

func tan(degrees float64) float64 {
	sin, cos := arith.SinCosDegrees(degrees)
	return sin / cos
}

// degrees reads an angle. Source: CSS Values and Units Level 4, section 7.1.
func degrees(text string) (float64, bool) {
	for _, u := range []struct {
		name string
		size float64
	}{{"deg", 1}, {"grad", 0.9}, {"rad", 180 / arith.Pi}, {"turn", 360}, {"", 1}} {
		if number, is := strings.CutSuffix(text, u.name); is {
			v, ok := decimal.Parse([]byte(number))
			return float64(v * u.size), ok && (u.name != "" || v == 0) && !math.IsInf(v, 0)
		}
	}
	return 0, false
}
