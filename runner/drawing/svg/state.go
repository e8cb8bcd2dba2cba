package svg

import (
	"math"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/svg/paint"
)

// state is what goes down from an element to what is inside it: the values of
// properties that are inherited, and the viewport.
type state struct {
	fill, stroke               paint.Paint
	colour                     paint.Colour // of currentColor
	fillOpacity, strokeOpacity float64
	rule, clipRule             contour.FillRule
	hidden                     bool
	seeThrough                 bool // an opacity below 1 is around it
	dashed                     bool
	caps, joins                string // stroke-linecap, stroke-linejoin
	miterLimit                 float64
	strokeWidth                length
	markers                    [3]string // identifiers of the start, mid and end marker
	width, height              float64   // of the viewport, in user units
}

// initial is the state around the outermost element.
func initial() state {
	black := paint.Colour{Alpha: 1}
	return state{
		fill: paint.Paint{Colour: black}, stroke: paint.Paint{None: true}, colour: black, fillOpacity: 1, strokeOpacity: 1,
		rule: contour.NonZero, clipRule: contour.NonZero, caps: "butt", joins: "miter", miterLimit: 4, strokeWidth: length{value: 1},
	}
}

// diagonal is what percentages refer to in lengths that have no direction, such as
// radii.
//
// Source: SVG 2, section 8.9, "Units".
func (s *state) diagonal() float64 {
	return math.Sqrt((float64(s.width*s.width) + float64(s.height*s.height)) / 2)
}

// own are the values of an element's properties that are not inherited.
type own struct {
	geometry    map[string]string // x, y, r ... as a style sheet states them
	moves       moves
	notScaled   bool   // vector-effect: non-scaling-stroke
	overflowing bool   // overflow: visible
	clipPath    string // its identifier
	stopColour  paint.Paint
	stopOpacity float64
	undisplayed bool // display: none
	opacity     float64
	fault       string // why it cannot be drawn
}

// why says why the element is not drawn at all, or "".
func (o *own) why() string {
	switch {
	case o.fault != "":
		return o.fault
	case o.undisplayed:
		return drawing.NotDisplayed
	case o.opacity == 0:
		return "wholly transparent"
	}
	return ""
}

// setting is one declaration being applied to an element.
type setting struct {
	w         *walker
	n         *node
	s         *state
	own       *own
	name      string
	value     string
	attribute bool // it is an attribute
}

// apply applies an element's properties.
func apply(w *walker, n *node, s *state) own {
	o := own{stopColour: paint.Paint{Colour: paint.Colour{Alpha: 1}}, stopOpacity: 1, opacity: 1}
	d := setting{w: w, n: n, s: s, own: &o}
	list, alike := w.doc.declared(n, w.copied)
	if !alike {
		w.report.warnOnce(n, problem.UnreadStyle, "copy", problem.Advise("give the element a rule of its own, by its class or its identifier"),
			"a rule is for this element by what is around it, and programs differ whether it is for its copies too; here it is")
	}
	for _, v := range list {
		p := properties[v.Name]
		d.name, d.value, d.attribute = v.Name, v.Value, v.attribute
		if d.value == "" || !d.general(p) {
			continue
		}
		if p.set(&d); o.fault != "" {
			break
		}
	}
	s.seeThrough = s.seeThrough || o.opacity < 1
	return o
}

// general takes the values that every property may have. It answers false where
// nothing is left to do.
//
// Source: CSS Cascading and Inheritance Level 4, section 7; CSS Values and
// Units Level 4; from memory.
func (d *setting) general(p property) bool {
	switch word := lower(d.value); {
	case d.name == "all":
	case word == "inherit" && p.inherited, word == "unset" && p.inherited, word == "revert" && p.inherited, word == "revert-layer":
		return false // the state has it
	case word == "initial" || word == "unset" || word == "revert":
		if p.initial == "" {
			return false
		}
		d.value = p.initial
	case computed(word):
		d.w.report.warnOnce(d.n, problem.UnreadStyle, d.name, problem.Advise("write the value itself"),
			"%s of this element is worked out (%s), which is not done here", d.name, clip(d.value))
		return false
	}
	return true
}
