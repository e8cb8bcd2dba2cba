package drawing

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
)

// svgState is what goes down from an element to what stands inside it.
type svgState struct {
	fill, stroke  bool
	rule          contour.FillRule
	fillClear     bool // the fill is wholly transparent
	strokeClear   bool
	fillWhite     bool
	strokeWhite   bool
	hidden        bool
	dashed        bool
	ends          string // stroke-linecap
	strokeWidth   svgLength
	width, height float64 // of the viewport, in user units

	outermost string // name of the outermost named group
	chosen    string // name of the innermost group, or of the element, that was asked for
}

// Elements that draw nothing themselves; what stands in them is drawn only
// where something refers to it.
var undrawn = map[string]bool{
	"defs": true, "symbol": true, "clipPath": true, "mask": true, "marker": true, "pattern": true,
	"linearGradient": true, "radialGradient": true, "filter": true, "style": true, "script": true,
	"title": true, "desc": true, "metadata": true, "view": true, "cursor": true, "font": true, "font-face": true,
	"animate": true, "animateTransform": true, "animateMotion": true, "set": true, "": true,
}

var svgPassed = map[string]string{
	"text": isText, "image": isImage, "foreignObject": "other documents inside are not painted",
	"video": isImage, "audio": isImage, "canvas": isImage, "iframe": isImage,
}

// inside draws what stands inside an element.
func (s *svg) inside(n *svgNode, m *xform, state svgState, depth int) {
	for _, k := range n.kids {
		if s.stopped {
			return
		}
		s.draw(k, m, state, depth+1)
	}
}

// draw draws one element.
func (s *svg) draw(k int32, outer *xform, state svgState, depth int) {
	n := &s.nodes[k]
	at, end := int(n.start), int(n.end)
	if s.visits += 1 + (end-at)/visitBytes; s.visits > maxVisits || depth > maxNesting {
		s.stop(problem.TooLarge, at, end, problem.Advise("use fewer copies, or copies of larger parts"),
			"the drawing asks for more than %d elements, copies included, or nests them more than %d deep", maxVisits, maxNesting)
		return
	}
	if undrawn[n.kind] {
		return
	}
	s.named(n, &state)
	why := s.style(n, &state)
	if s.sheet.looked >= maxMatches {
		s.stop(problem.TooLarge, at, end, problem.Advise("save the drawing as plain SVG with styles on the elements"),
			"the drawing has so many style rules that they cannot be told apart")
		return
	}
	if why != "" {
		s.count(n.kind, s.layerOf(&state), why, at, end)
		return
	}
	own, ok := s.transform(n)
	if !ok {
		return
	}
	m := outer.after(&own)
	switch n.kind {
	case "g", "a":
		s.inside(n, &m, state, depth)
	case "switch":
		if kid, ok := s.choice(n); ok {
			s.draw(kid, &m, state, depth+1)
		}
	case "svg":
		s.viewport(n, &m, state, depth, n.attr("width"), n.attr("height"), true)
	case "use":
		s.use(n, &m, state, depth)
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
		s.shape(n, &m, &state)
	default:
		layer := s.layerOf(&state)
		if why := s.layers[layer].why; why != "" {
			s.count(n.kind, layer, why, at, end)
			return
		}
		why, known := svgPassed[n.kind]
		if !known {
			why = isUnread
			s.warnOnce(problem.NotRead, n.kind, at, end, problem.Advise("turn it into paths in the drawing program if it belongs to the picture"),
				"<%s> is not read, so it will not be painted", clip([]byte(n.kind)))
		}
		s.count(string(clip([]byte(n.kind))), layer, why, at, end)
	}
}

// choice is the child of a switch that is drawn: the first that asks for
// nothing special. The user's language is never asked for, as the same drawing
// must be read the same everywhere; where every child is for some language, the
// first is taken, and told.
//
// Source: SVG 2, 5.10.
func (s *svg) choice(n *svgNode) (kid int32, ok bool) {
	for _, k := range n.kids {
		c := &s.nodes[k]
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
		c := &s.nodes[kid]
		s.warnOnce(problem.NotRead, "systemLanguage", int(c.start), int(c.end), problem.Advise("save the drawing with one of them only"),
			"these are drawings for several languages; the first, for %q, is read", clip([]byte(c.attr("systemLanguage"))))
	}
	return kid, ok
}

// named notes the element's name where it can be a layer.
func (s *svg) named(n *svgNode, state *svgState) {
	id := n.attr("id")
	name := id
	if n.kind == "g" {
		name = n.name
		if state.outermost == "" {
			state.outermost = name
		}
	}
	if name == "" || s.opt.Layer == "" && len(s.opt.KeepLayers) == 0 {
		return
	}
	for _, candidate := range []string{name, id} {
		if candidate != "" && (foldName(candidate) == foldName(s.opt.Layer) || s.isKept(candidate)) {
			state.chosen = candidate
			return
		}
	}
}

// layerOf is the layer that a shape counts as being on.
func (s *svg) layerOf(state *svgState) int32 {
	if state.chosen != "" {
		return s.layerNumber(state.chosen)
	}
	return s.layerNumber(state.outermost)
}

// style applies an element's properties and says why it is not drawn at all,
// if it is not.
func (s *svg) style(n *svgNode, state *svgState) (why string) {
	for _, d := range s.sheet.declared(n) {
		if d.value == "inherit" && styled[d.name] || d.value == "" {
			continue
		}
		switch d.name {
		case "fill":
			state.fill, state.fillWhite = isPaint(d.value), isWhite(d.value)
		case "stroke":
			state.stroke, state.strokeWhite = isPaint(d.value), isWhite(d.value)
		case "fill-rule":
			switch d.value {
			case "evenodd":
				state.rule = contour.EvenOdd
			case "nonzero":
				state.rule = contour.NonZero
			}
		case "fill-opacity":
			state.fillClear = isZero(d.value)
		case "stroke-opacity":
			state.strokeClear = isZero(d.value)
		case "stroke-width":
			l, ok := parseLength(d.value)
			if !ok || l.value < 0 {
				at, end := s.attrPlace(n, "stroke-width", 0, 0)
				s.report(problem.BadValue, at, end, problem.Advise("write a length such as 0.5mm"), "%q is no width of a stroke", clip([]byte(d.value)))
				return "its stroke has no readable width"
			}
			state.strokeWidth = l
		case "stroke-dasharray":
			state.dashed = d.value != "none" && strings.Trim(d.value, "0 ,") != ""
		case "stroke-linecap":
			if d.value == "butt" || d.value == "round" || d.value == "square" {
				state.ends = d.value
			}
		case "visibility":
			state.hidden = d.value == "hidden" || d.value == "collapse"
		case "display":
			if why = ""; d.value == "none" {
				why = "not displayed (display: none)"
			}
		case "opacity":
			if isZero(d.value) {
				why = "wholly transparent"
			}
		case "clip-path", "mask":
			if d.value != "none" {
				s.warnOnce(problem.ClippedShape, "", int(n.start), int(n.end), problem.Advise("cut the shapes in the drawing program if what is cut off should not be painted"),
					"this element is cut off by a %s, which is not applied: its shapes are read whole", d.name)
			}
		case "transform":
			if d.value != "none" {
				s.warnOnce(problem.UnreadStyle, "transform", int(n.start), int(n.end), problem.Advise("save the drawing as plain SVG with transforms as attributes"),
					"this element is moved by its style, which is not applied")
			}
		case "vector-effect":
			if d.value == "non-scaling-stroke" {
				s.warnOnce(problem.StretchedWidth, "", int(n.start), int(n.end), problem.Advise("let the width of the stroke follow the drawing's scale"),
					"the stroke of this element keeps its width whatever the scale; it is read as scaled")
			}
		}
	}
	return why
}

// isPaint says whether a value of fill or stroke paints anything.
func isPaint(value string) bool {
	switch strings.ToLower(value) {
	case "none", "transparent":
		return false
	}
	return true
}

// isWhite says whether a value of fill or stroke is white without doubt.
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

// use draws a copy of the element that is referred to.
//
// Source: SVG 2, section 5.6, "Reusing content".
func (s *svg) use(n *svgNode, m *xform, state svgState, depth int) {
	at, end := int(n.start), int(n.end)
	href := n.attr("href")
	id, local := strings.CutPrefix(href, "#")
	layer := s.layerOf(&state)
	if !local {
		s.count("use", layer, "refers to another file", at, end)
		s.warnOnce(problem.NotRead, "external", at, end, problem.Advise("put the shape into the drawing itself if it belongs to the picture"),
			"this copy refers to another file; only the drawing itself is read, so it will not be painted")
		return
	}
	k, ok := s.byID[id]
	if !ok {
		s.report(problem.NoSuchBlock, at, end, problem.Advise("save the drawing again, with all its parts"), "there is no element %q to copy here", clip([]byte(id)))
		return
	}
	if s.inUse[k] {
		s.report(problem.BlockInItself, at, end, problem.Advise("take the copy out of the element it copies"), "element %q holds a copy of itself", clip([]byte(id)))
		return
	}
	x, ok1 := s.length(n, "x", state.width, 0)
	y, ok2 := s.length(n, "y", state.height, 0)
	if !ok1 || !ok2 {
		return
	}
	shift := plain(1, 0, 0, 1, x, y)
	moved := m.after(&shift)
	s.inUse[k] = true
	target := &s.nodes[k]
	switch target.kind {
	case "symbol", "svg":
		s.named(target, &state)
		if why := s.style(target, &state); why != "" {
			s.count("use", layer, why, at, end)
			break
		}
		width, height := n.attr("width"), n.attr("height")
		if width == "" {
			width = target.attr("width")
		}
		if height == "" {
			height = target.attr("height")
		}
		s.viewport(target, &moved, state, depth+1, width, height, target.kind == "svg")
	default:
		s.draw(k, &moved, state, depth+1)
	}
	s.inUse[k] = false
}

// viewport draws what stands inside an inner svg or a symbol.
func (s *svg) viewport(n *svgNode, m *xform, state svgState, depth int, width, height string, placed bool) {
	measure := func(text string, whole float64) float64 {
		if l, ok := parseLength(text); ok && l.value >= 0 {
			return l.px(whole)
		}
		return whole
	}
	w, h := measure(width, state.width), measure(height, state.height)
	inner := *m
	if placed {
		x, ok1 := s.length(n, "x", state.width, 0)
		y, ok2 := s.length(n, "y", state.height, 0)
		if !ok1 || !ok2 {
			return
		}
		shift := plain(1, 0, 0, 1, x, y)
		inner = m.after(&shift)
	}
	if !(w > 0 && h > 0) {
		s.count(n.kind, s.layerOf(&state), "has no size", int(n.start), int(n.end))
		return
	}
	state.width, state.height = w, h
	if box, ok := parseViewBox(n.attr("viewBox")); ok {
		fit := box.fit(n.attr("preserveAspectRatio"), w, h)
		inner = inner.after(&fit)
		state.width, state.height = box.width, box.height
	}
	s.inside(n, &inner, state, depth)
}
