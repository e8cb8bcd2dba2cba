package svg

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// geometry is a property such as x or r as it is written: in a style sheet, else
// as an attribute.
//
// Source: SVG 2, section 7.1, "Geometry properties".
func (r reporter) geometry(n *node, o *own, name string) string {
	text, ok := o.geometry[name]
	if !ok {
		return n.attr(name)
	}
	if lower(text) == "auto" {
		return ""
	}
	if l, ok := parseLength(text); ok && (l.unit != "" || l.value == 0) {
		return text
	}
	r.warnOnce(n, problem.UnreadStyle, name, problem.Advise("write a length such as 5mm"), "%q is no value of %s, and is left out", clip(text), name)
	return n.attr(name)
}

// length reads a geometry property in user units; a missing one is taken as
// given.
func (r reporter) length(n *node, o *own, name string, whole, missing float64) (float64, bool) {
	text := r.geometry(n, o, name)
	if text == "" || text == "auto" {
		return missing, true
	}
	l, ok := parseLength(text)
	if !ok {
		r.failAttr(n, name, problem.Advise("write a number, or one with mm, cm, in, pt, pc, px or %"), "%q is no length", clip(text))
		return 0, false
	}
	return l.px(whole), true
}

// warnStyledSize warns where a style sheet sets the place or size of an inner
// picture: renderers do not agree on what that does.
func (r reporter) warnStyledSize(n *node, o *own) {
	for _, name := range []string{"x", "y", "width", "height"} {
		if _, ok := o.geometry[name]; ok {
			r.warnOnce(n, problem.UnreadStyle, "inner picture", problem.Advise("write "+name+" as an attribute"),
				"a style sheet sets %s of this inner picture, which programs read in different ways", name)
			return
		}
	}
}

// pathData is the data of a path: the property d of a style sheet, else the
// attribute.
func (r reporter) pathData(n *node, o *own) string {
	text, ok := o.geometry["d"]
	if !ok {
		return n.rawAttr("d")
	}
	if lower(text) == "none" {
		return ""
	}
	inner, is := strings.CutPrefix(text, "path(")
	if inner = strings.TrimSpace(strings.TrimSuffix(inner, ")")); is && len(inner) >= 2 && inner[0] == inner[len(inner)-1] && strings.ContainsRune(`"'`, rune(inner[0])) {
		return inner[1 : len(inner)-1]
	}
	r.warnOnce(n, problem.UnreadStyle, "d", problem.Advise("write the data as the attribute d"), "%q is no value of d, and is left out", clip(text))
	return n.rawAttr("d")
}

// placed reads x and y.
func (r reporter) placed(n *node, o *own, s *state) (vector.XY, bool) {
	x, ok1 := r.length(n, o, "x", s.width, 0)
	y, ok2 := r.length(n, o, "y", s.height, 0)
	return vector.XY{X: x, Y: y}, ok1 && ok2
}
