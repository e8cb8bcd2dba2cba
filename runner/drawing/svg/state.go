package svg

import (
	"math"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
)

// state is what an element passes on to the elements inside it.
type state struct {
	fill, stroke      bool
	rule              contour.FillRule
	fillTransparent   bool // the fill is wholly transparent
	strokeTransparent bool
	fillWhite         bool
	strokeWhite       bool
	hidden            bool
	dashed            bool
	lineCap           string // stroke-linecap
	strokeWidth       length
	width, height     float64 // of the viewport, in user units
}

// diagonal is what percentages refer to in lengths that have no direction, such as
// radii.
//
// Source: SVG 2, section 8.9, "Units".
func (s *state) diagonal() float64 {
	return math.Sqrt((float64(s.width*s.width) + float64(s.height*s.height)) / 2)
}

// setting is one declaration being applied to an element.
type setting struct {
	w     *walker
	n     *node
	s     *state
	value string
	why   string // why the element is not drawn at all, or ""
	fault string // why it cannot be drawn, or ""
}

// property is a property that decides what is painted.
type property struct {
	inherited bool // the elements inside have the same value
	set       func(*setting)
}

// properties by name. An element passes its state on to the elements inside it, so
// properties that are not inherited must not be kept in it.
var properties map[string]property

func init() {
	properties = map[string]property{
		"clip-path":        {false, warnClipped("clip-path")},
		"display":          {false, setDisplay},
		"fill":             {true, func(d *setting) { d.s.fill, d.s.fillWhite = isPaint(d.value), isWhite(d.value) }},
		"fill-opacity":     {true, func(d *setting) { d.s.fillTransparent = isZero(d.value) }},
		"fill-rule":        {true, setFillRule},
		"mask":             {false, warnClipped("mask")},
		"opacity":          {false, setOpacity},
		"stroke":           {true, func(d *setting) { d.s.stroke, d.s.strokeWhite = isPaint(d.value), isWhite(d.value) }},
		"stroke-dasharray": {true, func(d *setting) { d.s.dashed = d.value != "none" && strings.Trim(d.value, "0 ,") != "" }},
		"stroke-linecap":   {true, setLineCap},
		"stroke-opacity":   {true, func(d *setting) { d.s.strokeTransparent = isZero(d.value) }},
		"stroke-width":     {true, setStrokeWidth},
		"transform":        {false, warnMoved},
		"vector-effect":    {false, warnVectorEffect},
		"visibility":       {true, func(d *setting) { d.s.hidden = d.value == "hidden" || d.value == "collapse" }},
	}
}

func matters(name string) bool {
	_, ok := properties[name]
	return ok
}

// apply applies an element's properties. why says why the element is not drawn at all,
// or is "".
func (w *walker) apply(n *node, s *state) (why string) {
	d := setting{w: w, n: n, s: s}
	for _, v := range w.doc.rules.declared(n) {
		p := properties[v.Name]
		if v.Value == "inherit" && p.inherited || v.Value == "" {
			continue
		}
		d.value = v.Value
		if p.set(&d); d.fault != "" {
			return d.fault
		}
	}
	return d.why
}

func setFillRule(d *setting) {
	switch d.value {
	case "evenodd":
		d.s.rule = contour.EvenOdd
	case "nonzero":
		d.s.rule = contour.NonZero
	}
}

func setStrokeWidth(d *setting) {
	l, ok := parseLength(d.value)
	if !ok || l.value < 0 {
		d.w.report.failAttr(d.n, "stroke-width", problem.Advise("write a length such as 0.5mm"), "%q is not the width of a stroke", clip(d.value))
		d.fault = "its stroke has no readable width"
		return
	}
	d.s.strokeWidth = l
}

func setLineCap(d *setting) {
	if d.value == "butt" || d.value == "round" || d.value == "square" {
		d.s.lineCap = d.value
	}
}

func setDisplay(d *setting) {
	if d.why = ""; d.value == "none" {
		d.why = "not displayed (display: none)"
	}
}

func setOpacity(d *setting) {
	if isZero(d.value) {
		d.why = "wholly transparent"
	}
}

func warnClipped(by string) func(*setting) {
	return func(d *setting) {
		if d.value != "none" {
			d.w.report.warnOnce(d.n, problem.ClippedShape, "", problem.Advise("cut the shapes in the drawing program if what is cut off should not be painted"),
				"this element is cut off by a %s, which is not applied: its shapes are read whole", by)
		}
	}
}

func warnMoved(d *setting) {
	if d.value != "none" {
		d.w.report.warnOnce(d.n, problem.UnreadStyle, "transform", problem.Advise("save the drawing as plain SVG with transforms as attributes"),
			"this element is moved by its style, which is not applied")
	}
}

func warnVectorEffect(d *setting) {
	if d.value == "non-scaling-stroke" {
		d.w.report.warnOnce(d.n, problem.StretchedWidth, "", problem.Advise("let the width of the stroke follow the drawing's scale"),
			"the stroke of this element keeps its width whatever the scale; it is read as scaled")
	}
}

// isPaint reports whether a value of fill or stroke paints anything.
func isPaint(value string) bool {
	switch strings.ToLower(value) {
	case "none", "transparent":
		return false
	}
	return true
}

// isWhite reports whether a value of fill or stroke is certainly white.
func isWhite(value string) bool {
	switch strings.ToLower(strings.ReplaceAll(value, " ", "")) {
	case "white", "#fff", "#ffffff", "rgb(255,255,255)", "rgb(100%,100%,100%)":
		return true
	}
	return false
}

func isZero(value string) bool {
	l, ok := parseLength(value)
	return ok && l.value <= 0
}
