package svg

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Limits on what is drawn from a file.
const (
	maxVisits  = 1_000_000 // elements drawn, copies included, large ones counted several times
	visitBytes = 128       // bytes of a tag that count as a further element
)

// undrawn holds elements that draw nothing themselves. What is inside them is drawn only
// if another element refers to it.
var undrawn = map[string]bool{
	"defs": true, "symbol": true, "clipPath": true, "mask": true, "marker": true, "pattern": true,
	"linearGradient": true, "radialGradient": true, "filter": true, "style": true, "script": true,
	"title": true, "desc": true, "metadata": true, "view": true, "cursor": true, "font": true, "font-face": true,
	"animate": true, "animateTransform": true, "animateMotion": true, "set": true, "discard": true, "": true,
}

// skipped holds elements that are not painted, and why.
var skipped = map[string]string{
	"text": drawing.TextNotPainted, "image": drawing.ImageNotPainted, "foreignObject": "other documents inside are not painted",
	"video": drawing.ImageNotPainted, "audio": drawing.ImageNotPainted, "canvas": drawing.ImageNotPainted, "iframe": drawing.ImageNotPainted,
}

// walker draws the elements of a document.
type walker struct {
	report reporter
	doc    *document
	out    sink.Sink
	visits int
	inUse  []bool // by node: it is being copied
	copied int32  // the innermost of them, 0 for none
	// stretchPX is the length of a px of the page in the sink's coordinates.
	stretchPX float64
}

// children draws the elements inside an element.
func (w *walker) children(n *node, s state, depth int) {
	for _, k := range n.kids {
		if w.out.Stopped() {
			return
		}
		w.draw(k, s, depth+1)
	}
}

// draw draws one element.
func (w *walker) draw(k int32, s state, depth int) {
	n := &w.doc.nodes[k]
	n.asked = false
	if w.visits += 1 + int(n.end-n.start)/visitBytes; w.visits > maxVisits || depth > maxNesting {
		w.report.stop(n, problem.TooLarge, problem.Advise("use fewer copies, or copies of larger parts"),
			"the drawing asks for more than %d elements, copies included, or nests them more than %d deep", maxVisits, maxNesting)
		return
	}
	if undrawn[n.kind] {
		warnLively(w, n)
		return
	}
	w.out.Groups().Enter(groupOf(n))
	defer w.out.Groups().Leave()
	o := apply(w, n, &s)
	if w.doc.rules.tried >= maxMatches {
		w.report.stop(n, problem.TooLarge, problem.Advise("save the drawing as plain SVG with styles on the elements"),
			"the drawing has so many style rules that they cannot all be looked at")
		return
	}
	why := o.why()
	if why == "" {
		why = conditionOf(w, n)
	}
	if why != "" {
		e := entityOf(n)
		w.report.count(&e, why)
		return
	}
	own, ok := transformOf(w, n, &o, &s)
	if !ok {
		return
	}
	w.out.Groups().Transform(&own)
	if n.kind == "use" { // x and y are the last of its transforms
		at, ok := w.report.placed(n, &o, &s)
		if !ok {
			return
		}
		shift := affine.Shift(at.X, at.Y, 0)
		w.out.Groups().Transform(&shift)
	}
	if !w.clipPath(n, &s, &o) {
		e := entityOf(n)
		w.report.count(&e, "cut off wholly by its clip-path")
		return
	}
	switch n.kind {
	case "g", "a":
		w.children(n, s, depth)
	case "switch":
		if kid, ok := w.switchChild(n); ok {
			w.draw(kid, s, depth+1)
		}
	case "svg":
		w.innerSVG(n, s, &o, depth)
	case "use":
		w.use(n, s, &o, depth)
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
		(&painter{w, n, &s, &o}).paint()
	default:
		w.skip(n)
	}
}

// warnLively warns of elements that change the drawing while it is shown.
func warnLively(w *walker, n *node) {
	switch n.kind {
	case "animate", "animateTransform", "animateMotion", "set", "discard":
		w.report.warnOnce(n, problem.NotRead, "animation", problem.Advise("save the drawing without animation if another moment of it is meant"),
			"animations are not played: the drawing is read as it is before they begin")
	case "script":
		w.report.warnOnce(n, problem.NotRead, "script", problem.Advise("save the drawing as it looks after its script has run"),
			"scripts are not run: the drawing is read as it is written")
	}
}

// conditionOf says why an element is not drawn that asks for something special.
//
// Source: SVG 2, 5.9, "Conditional processing".
func conditionOf(w *walker, n *node) string {
	if n.parent >= 0 && w.doc.nodes[n.parent].kind == "switch" {
		return ""
	}
	if n.attr("requiredExtensions") != "" {
		return "only for programs with an extension"
	}
	if n.attr("systemLanguage") != "" {
		w.report.warnOnce(n, problem.NotRead, "systemLanguage", problem.Advise("save the drawing with one language only"),
			"this element is for the language %q only; it is read", clip(n.attr("systemLanguage")))
	}
	return ""
}

// groupOf is the element as a group of shapes, or as a shape with a name.
func groupOf(n *node) sink.Group {
	id := n.attr("id")
	if n.kind == "g" {
		return sink.Group{Name: n.name, ID: id, Outer: true}
	}
	return sink.Group{Name: id, ID: id}
}

// skip counts an element that is not painted. If it may be part of the picture, it
// warns.
func (w *walker) skip(n *node) {
	e := entityOf(n)
	if n.asked = w.out.Wanted(&e, ""); !n.asked {
		return
	}
	e.Asked, e.What = true, clip(n.kind)
	why, known := skipped[n.kind]
	if !known {
		why = "entities of this kind are not read"
		w.report.warnOnce(n, problem.NotRead, n.kind, problem.Advise("turn it into paths in the drawing program if it belongs to the picture"),
			"<%s> is not read, so it will not be painted", clip(n.kind))
	}
	w.report.count(&e, why)
}

// switchChild is the child of a switch that is drawn: the first without conditions. The
// user's language is ignored, because a drawing must be read the same everywhere. If
// every child is for some language, the first is drawn, with a warning.
//
// Source: SVG 2, 5.10.
func (w *walker) switchChild(n *node) (kid int32, ok bool) {
	for _, k := range n.kids {
		c := &w.doc.nodes[k]
		if undrawn[c.kind] || c.attr("requiredExtensions") != "" || c.kind == "foreignObject" {
			continue
		}
		if c.attr("systemLanguage") == "" {
			return k, true
		}
		if !ok {
			kid, ok = k, true
		}
	}
	if ok {
		c := &w.doc.nodes[kid]
		w.report.warnOnce(c, problem.NotRead, "systemLanguage", problem.Advise("save the drawing with one of them only"),
			"these are drawings for several languages; the first, for %q, is read", clip(c.attr("systemLanguage")))
	}
	return kid, ok
}

// use draws a copy of the element that a use element refers to.
//
// Source: SVG 2, section 5.6, "Reusing content".
func (w *walker) use(n *node, s state, o *own, depth int) {
	id, local := strings.CutPrefix(n.attr("href"), "#")
	e := entityOf(n)
	if !local {
		w.report.count(&e, "refers to another file")
		w.report.warnOnce(n, problem.NotRead, "external", problem.Advise("put the shape into the drawing itself if it belongs to the picture"),
			"this copy refers to another file; only the drawing itself is read, so it will not be painted")
		return
	}
	k, ok := w.doc.byID[id]
	if !ok {
		w.report.fail(n, problem.NoSuchBlock, problem.Advise("save the drawing again, with all its parts"), "there is no element %q to copy here", clip(id))
		return
	}
	if w.inUse[k] {
		w.report.fail(n, problem.BlockInItself, problem.Advise("take the copy out of the element it copies"), "element %q holds a copy of itself", clip(id))
		return
	}
	outer := w.copied
	w.inUse[k], w.copied = true, k
	if target := &w.doc.nodes[k]; target.kind == "symbol" || target.kind == "svg" {
		w.useViewport(n, target, s, o, depth)
	} else {
		w.draw(k, s, depth+1)
	}
	w.inUse[k], w.copied = false, outer
}

// useViewport draws a copy of a symbol or an inner svg.
func (w *walker) useViewport(n, target *node, s state, o *own, depth int) {
	e := entityOf(n)
	w.out.Groups().Enter(groupOf(target))
	defer w.out.Groups().Leave()
	of := apply(w, target, &s)
	if why := of.why(); why != "" {
		w.report.count(&e, why)
		return
	}
	m, ok := transformOf(w, target, &of, &s)
	if !ok {
		return
	}
	w.out.Groups().Transform(&m)
	w.report.warnStyledSize(n, o)
	w.report.warnStyledSize(target, &of)
	width, height := w.report.geometry(n, o, "width"), w.report.geometry(n, o, "height")
	if width == "" || width == "auto" {
		width = w.report.geometry(target, &of, "width")
	}
	if height == "" || height == "auto" {
		height = w.report.geometry(target, &of, "height")
	}
	v := viewport{width: width, height: height, clips: !of.overflowing}
	if target.kind == "svg" {
		if v.at, ok = w.report.placed(target, &of, &s); !ok {
			return
		}
	}
	w.viewport(target, s, v, depth+1)
}

// innerSVG draws an svg inside another.
func (w *walker) innerSVG(n *node, s state, o *own, depth int) {
	w.report.warnStyledSize(n, o)
	v := viewport{width: w.report.geometry(n, o, "width"), height: w.report.geometry(n, o, "height"), clips: !o.overflowing}
	var ok bool
	if v.at, ok = w.report.placed(n, o, &s); ok {
		w.viewport(n, s, v, depth)
	}
}

// viewport is the part of the plane in which an inner svg or a symbol shows.
type viewport struct {
	at            vector.XY
	width, height string // as written
	clips         bool   // what lies outside is cut off
}

// viewport draws what is inside an inner svg or a symbol.
func (w *walker) viewport(n *node, s state, v viewport, depth int) {
	measure := func(text string, whole float64) float64 {
		if l, ok := parseLength(text); ok && l.value >= 0 {
			return l.px(whole)
		}
		return whole
	}
	wide, high := measure(v.width, s.width), measure(v.height, s.height)
	shift := affine.Shift(v.at.X, v.at.Y, 0)
	w.out.Groups().Transform(&shift)
	if !(wide > 0 && high > 0) {
		e := entityOf(n)
		w.report.count(&e, "has no size")
		return
	}
	if v.clips {
		clipRect(w, 0, 0, wide, high)
	}
	s.width, s.height = wide, high
	if box, ok := parseViewBox(n.attr("viewBox")); ok {
		fit := box.fit(n.attr("preserveAspectRatio"), wide, high)
		w.out.Groups().Transform(&fit)
		s.width, s.height = box.width, box.height
	}
	w.children(n, s, depth)
}
