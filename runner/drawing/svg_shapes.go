package drawing

import (
	"math"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
)

// length reads an attribute as a length in user units; a missing one is
// taken as given.
func (s *svg) length(n *svgNode, name string, whole, missing float64) (float64, bool) {
	text := n.attr(name)
	if text == "" || text == "auto" {
		return missing, true
	}
	l, ok := parseLength(text)
	if !ok {
		at, end := s.attrPlace(n, name, 0, 0)
		s.report(problem.BadValue, at, end, problem.Advise("write a number, or one with mm, cm, in, pt, pc, px or %"), "%q is no length", clip([]byte(text)))
		return 0, false
	}
	return l.px(whole), true
}

// diagonal is what percentages of lengths without a direction are of.
//
// Source: SVG 2, section 8.9, "Units".
func (state *svgState) diagonal() float64 {
	return math.Sqrt((float64(state.width*state.width) + float64(state.height*state.height)) / 2)
}

// shape draws a path or a basic shape: its inside where it is filled, its
// line with its width where it is stroked.
func (s *svg) shape(n *svgNode, m *xform, state *svgState) {
	at, end := int(n.start), int(n.end)
	layer := s.layerOf(state)
	fills := state.fill && !state.fillClear && n.kind != "line"
	width := float64(state.strokeWidth.px(state.diagonal()) * m.stretch())
	strokes := state.stroke && !state.strokeClear && width > 0
	why := s.layers[layer].why
	switch {
	case why != "":
	case state.hidden:
		why = "hidden (visibility)"
	case !fills && !strokes:
		why = NoPaint
	}
	if why != "" {
		s.count(n.kind, layer, why, at, end)
		return
	}
	if fills && state.fillWhite || strokes && state.strokeWhite {
		s.warnOnce(problem.WhiteShape, "", at, end, problem.Advise("take it out if it is bare paper; if it lies on another shape, draw it as a hole in that one"),
			"this shape is white in the drawing, and is painted like any other")
	}
	taken := false
	if fills {
		s.groups++
		ok := s.outline(n, m, state, func(bool) {
			taken = s.take(n.kind, layer, true, state.rule, at, end) || taken
		})
		if !ok {
			return
		}
	}
	if strokes {
		if !m.even() {
			s.warnOnce(problem.StretchedWidth, "", at, end, problem.Advise("give the drawing the same scale along x and y, or turn the stroke into a shape"),
				"this stroke is stretched unevenly; its width is read as if stretched evenly")
		}
		if state.dashed {
			s.warnOnce(problem.DashedStroke, "", at, end, problem.Advise("draw the dashes one by one if they are meant"), "this stroke is dashed; it is read as one line")
		}
		ok := s.outline(n, m, state, func(closed bool) {
			for range s.path {
				s.widths = append(s.widths, width)
			}
			if taken = s.take(n.kind, layer, closed, contour.Unstated, at, end) || taken; !closed && state.ends != "round" {
				s.hint(problem.FlatEnds, at, end, problem.Advise(`where that matters, state stroke-linecap="round" for it, which shows what is painted, and correct its length`),
					"this line ends flat in the drawing (stroke-linecap %s), and its ends are painted round", state.ends)
			}
		})
		if !ok {
			return
		}
	}
	if taken {
		s.count(n.kind, layer, "", at, end)
	}
}

// outline lays the shape's outline into the path and calls end after each
// part of it. It answers false after a problem.
func (s *svg) outline(n *svgNode, m *xform, state *svgState, end func(closed bool)) bool {
	at, tip := int(n.start), int(n.end)
	p := &svgPath{r: s.reading, m: m, end: end, place: at, tip: tip}
	bad := false
	get := func(name string, whole, missing float64) float64 {
		v, ok := s.length(n, name, whole, missing)
		bad = bad || !ok
		return v
	}
	w, h, d := state.width, state.height, state.diagonal()
	switch n.kind {
	case "path":
		return s.pathData(n, p)
	case "polyline", "polygon":
		return s.corners(n, p, n.kind == "polygon")
	case "line":
		x1, y1, x2, y2 := get("x1", w, 0), get("y1", h, 0), get("x2", w, 0), get("y2", h, 0)
		if bad {
			return false
		}
		p.at = XY{X: x1, Y: y1}
		p.begin()
		p.line(XY{X: x2, Y: y2})
		p.finish(false)
	case "circle":
		r := get("r", d, 0)
		s.ellipse(n, p, get("cx", w, 0), get("cy", h, 0), r, r, bad)
	case "ellipse":
		rx, ry := get("rx", w, -1), get("ry", h, -1)
		if rx < 0 {
			rx = ry
		}
		if ry < 0 {
			ry = rx
		}
		s.ellipse(n, p, get("cx", w, 0), get("cy", h, 0), rx, ry, bad)
	case "rect":
		rx, ry := get("rx", w, -1), get("ry", h, -1)
		s.rect(n, p, get("x", w, 0), get("y", h, 0), get("width", w, 0), get("height", h, 0), rx, ry, bad)
	}
	return !bad && !s.stopped
}

func (s *svg) noSize(n *svgNode) {
	layer := s.layerNumber("")
	s.count(n.kind, layer, "has no size", int(n.start), int(n.end))
}

// ellipse draws a whole ellipse.
func (s *svg) ellipse(n *svgNode, p *svgPath, cx, cy, rx, ry float64, bad bool) {
	switch {
	case bad:
	case !(rx > 0 && ry > 0):
		s.noSize(n)
	default:
		s.begin()
		c := conic{p.m.at(cx, cy, 0), p.m.along(rx, 0, 0), p.m.along(0, ry, 0)}
		s.round(&c, 0, p.place, p.tip)
		p.open = true
		p.finish(true)
	}
}

// rect draws a rectangle, with rounded corners where it has them.
//
// Source: SVG 2, section 10.2, "The rect element".
func (s *svg) rect(n *svgNode, p *svgPath, x, y, w, h, rx, ry float64, bad bool) {
	if bad {
		return
	}
	if !(w > 0 && h > 0) {
		s.noSize(n)
		return
	}
	if rx < 0 {
		rx = ry
	}
	if ry < 0 {
		ry = rx
	}
	rx, ry = min(max(rx, 0), w/2), min(max(ry, 0), h/2)
	corner := func(toX, toY float64) {
		if rx > 0 && ry > 0 {
			p.arc(p.at, rx, ry, 0, false, true, XY{X: toX, Y: toY})
		}
	}
	if rx == 0 || ry == 0 {
		rx, ry = 0, 0
	}
	p.at = XY{X: x + rx, Y: y}
	p.begin()
	p.line(XY{X: x + w - rx, Y: y})
	corner(x+w, y+ry)
	p.line(XY{X: x + w, Y: y + h - ry})
	corner(x+w-rx, y+h)
	p.line(XY{X: x + rx, Y: y + h})
	corner(x, y+h-ry)
	p.line(XY{X: x, Y: y + ry})
	corner(x+rx, y)
	p.finish(true)
}

// rawAttr is an attribute as it stands, blanks included, so that bytes in it
// can be told.
func (n *svgNode) rawAttr(name string) string {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			return n.attrs[i].value
		}
	}
	return ""
}

// pathData follows the d attribute of a path.
func (s *svg) pathData(n *svgNode, p *svgPath) bool {
	p.s.text = n.rawAttr("d")
	if p.run() {
		return !s.stopped
	}
	s.badAttr(n, "d", &p.s, "is no command or number of path data", problem.Advise("save the drawing again: its path data is damaged"))
	return false
}

// corners follows the corners of a polyline or polygon.
func (s *svg) corners(n *svgNode, p *svgPath, closed bool) bool {
	p.s.text = n.rawAttr("points")
	scan := &p.s
	first := true
	for !scan.done() {
		x, ok := scan.number()
		scan.comma()
		y, ok2 := scan.number()
		if !ok || !ok2 {
			s.badAttr(n, "points", scan, "is no number; corners are pairs of numbers", problem.Advise("write pairs of numbers"))
			return false
		}
		scan.comma()
		p.at = XY{X: x, Y: y}
		if first {
			p.begin()
			first = false
		} else {
			p.to(x, y)
		}
		if s.reading.points+len(s.path) > maxPoints {
			s.reading.points = maxPoints + 1
			return !s.overBudget(p.place, p.tip)
		}
	}
	p.finish(closed)
	return !s.stopped
}

// badAttr reports the first thing in an attribute that cannot be read.
func (s *svg) badAttr(n *svgNode, name string, scan *svgScan, what string, fix problem.Fix) {
	from := min(scan.pos, len(scan.text))
	to := min(from+1, len(scan.text))
	for to < len(scan.text) && to < from+20 && !isBlank(scan.text[to]) && scan.text[to] != ',' {
		to++
	}
	at, end := s.attrPlace(n, name, from, to)
	fault := scan.text[from:to]
	if strings.TrimSpace(fault) == "" {
		s.report(problem.BadValue, at, end, fix, "%s ends too early", name)
		return
	}
	s.report(problem.BadValue, at, end, fix, "%q %s", fault, what)
}
