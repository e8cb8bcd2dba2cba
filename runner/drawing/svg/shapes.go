package svg

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

func isShape(kind string) bool {
	switch kind {
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
		return true
	}
	return false
}

// painter draws one shape.
type painter struct {
	w   *walker
	n   *node
	s   *state
	own *own
}

// paint draws a path or a basic shape: its inside where it is filled, its
// line with its width where it is stroked.
func (p *painter) paint() {
	w, n, s := p.w, p.n, p.s
	e := entityOf(n)
	width := p.strokeWidth()
	fill, stroke := p.ink(&s.fill, s.fillOpacity), p.ink(&s.stroke, s.strokeOpacity)
	fill.shows = fill.shows && n.kind != "line"
	stroke.shows = stroke.shows && width > 0
	why := ""
	switch {
	case s.hidden:
		why = drawing.Invisible
	case !fill.shows && !stroke.shows:
		why = drawing.NoPaint
	}
	if why == "" || why == drawing.NoPaint {
		p.warnMarkers()
	}
	if n.asked = w.out.Wanted(&e, why); !n.asked {
		return
	}
	e.Asked = true
	for _, k := range n.kids {
		warnLively(w, &w.doc.nodes[k])
	}
	p.sayInk(fill)
	p.sayInk(stroke)
	outlines, ok := (&outliner{report: w.report, n: n, own: p.own}).outlines(s)
	if !ok {
		return
	}
	if len(outlines) == 0 && n.kind != "path" && n.kind != "polyline" && n.kind != "polygon" {
		w.report.count(&e, "has no size")
	}
	if fill.shows {
		e.Paint = fill.paint
		w.out.StartArea()
		for _, l := range outlines {
			l.Closing, l.Rule = sink.Closed, s.rule
			w.out.Add(&e, l)
		}
	}
	if stroke.shows {
		e.Paint, n.paint = stroke.paint, stroke.paint
		p.stroke(&e, outlines, width)
		n.paint = contour.Paint{}
	}
	if !fill.shows && !stroke.shows {
		for _, l := range outlines {
			w.out.Add(&e, l)
		}
	}
}

func entityOf(n *node) sink.Entity {
	return sink.Entity{What: n.kind, Layer: sink.ByGroup, At: int(n.start), End: int(n.end)}
}

// outliner makes the outlines of a shape.
type outliner struct {
	report reporter
	n      *node
	own    *own
	p      path
}

// outlines lists the outlines of a shape, none if it has no size. It returns false after
// a problem.
func (o *outliner) outlines(s *state) (list []sink.Outline, ok bool) {
	ok = true
	get := func(name string, whole, missing float64) float64 {
		v, sound := o.report.length(o.n, o.own, name, whole, missing)
		ok = ok && sound
		return v
	}
	width, height, diagonal := s.width, s.height, s.diagonal()
	var whole *flatten.Ellipse
	switch o.n.kind {
	case "path":
		o.pathData()
	case "polyline", "polygon":
		o.corners(o.n.kind == "polygon")
	case "line":
		o.p.at = vector.XY{X: get("x1", width, 0), Y: get("y1", height, 0)}
		o.p.begin()
		o.p.line(vector.XY{X: get("x2", width, 0), Y: get("y2", height, 0)})
		o.p.finish(false)
	case "circle":
		r := get("r", diagonal, 0)
		whole = ellipse(get("cx", width, 0), get("cy", height, 0), r, r)
	case "ellipse":
		rx, ry := autoRadii(get("rx", width, -1), get("ry", height, -1))
		whole = ellipse(get("cx", width, 0), get("cy", height, 0), rx, ry)
	case "rect":
		rx, ry := autoRadii(get("rx", width, -1), get("ry", height, -1))
		o.p.rect(get("x", width, 0), get("y", height, 0), get("width", width, 0), get("height", height, 0), rx, ry)
	}
	switch {
	case !ok:
		return nil, false
	case o.p.track.Len() > maxSteps:
		o.report.stop(o.n, problem.TooLarge, problem.Advise("split the drawing, or simplify its curves"), "this shape has more than %d lines and curves", maxSteps)
		return nil, false
	case whole != nil:
		return []sink.Outline{{Curve: whole, Closing: sink.Closed}}, true
	}
	return o.p.subpaths(), true
}

// subpaths lists the outlines that were drawn.
func (p *path) subpaths() []sink.Outline {
	list := make([]sink.Outline, len(p.parts))
	tracks := make([]flatten.Track, len(p.parts))
	for i, q := range p.parts {
		tracks[i] = p.track.Part(q.from, q.to)
		if list[i].Curve = &tracks[i]; q.closed {
			list[i].Closing = sink.Closed
		}
	}
	return list
}

// autoRadii completes a pair of radii: one that is not stated (below 0) equals the
// other.
func autoRadii(rx, ry float64) (x, y float64) {
	if rx < 0 {
		rx = ry
	}
	if ry < 0 {
		ry = rx
	}
	return rx, ry
}

// ellipse is a whole ellipse, or nil if it has no size.
func ellipse(cx, cy, rx, ry float64) *flatten.Ellipse {
	if !(rx > 0 && ry > 0) {
		return nil
	}
	return &flatten.Ellipse{Centre: vector.XYZ{X: cx, Y: cy}, U: vector.XYZ{X: rx}, V: vector.XYZ{Y: ry}}
}

// rect draws a rectangle, with rounded corners if it has them. It draws nothing if the
// rectangle has no size.
//
// Source: SVG 2, section 10.2, "The rect element".
func (p *path) rect(x, y, w, h, rx, ry float64) {
	if !(w > 0 && h > 0) {
		return
	}
	rx, ry = min(max(rx, 0), w/2), min(max(ry, 0), h/2)
	round := rx > 0 && ry > 0
	if !round {
		rx, ry = 0, 0
	}
	corner := func(toX, toY float64) {
		if round {
			p.arc(p.at, rx, ry, 0, false, true, vector.XY{X: toX, Y: toY})
		}
	}
	p.at = vector.XY{X: x + rx, Y: y}
	p.begin()
	p.line(vector.XY{X: x + w - rx, Y: y})
	corner(x+w, y+ry)
	p.line(vector.XY{X: x + w, Y: y + h - ry})
	corner(x+w-rx, y+h)
	p.line(vector.XY{X: x + rx, Y: y + h})
	corner(x, y+h-ry)
	p.line(vector.XY{X: x, Y: y + ry})
	corner(x+rx, y)
	p.finish(true)
}

// pathData follows the d attribute of a path, up to a fault in it.
//
// Source: SVG 2, section 9.5.4, "Path data error handling".
func (o *outliner) pathData() {
	o.p.scan.text = o.report.pathData(o.n, o.own)
	if !o.p.follow() {
		o.badScan("d", "is not a path command or a number", problem.Advise("save the drawing again: its path data is damaged"))
		o.p.finish(false)
	}
}

// corners follows the corners of a polyline or polygon, up to a fault in them.
func (o *outliner) corners(closed bool) {
	o.p.scan.text = o.n.rawAttr("points")
	for !o.p.scan.atEnd() && o.p.track.Len() <= maxSteps {
		x, ok := o.p.scan.number()
		o.p.scan.skipComma()
		y, ok2 := o.p.scan.number()
		if !ok || !ok2 {
			o.badScan("points", "is not a number; corners are pairs of numbers", problem.Advise("write pairs of numbers"))
			break
		}
		o.p.scan.skipComma()
		if o.p.at = (vector.XY{X: x, Y: y}); !o.p.open {
			o.p.begin()
		} else {
			o.p.track.To(o.p.at)
		}
	}
	o.p.finish(closed)
}

// badScan reports the place in an attribute where the scanner stopped.
func (o *outliner) badScan(name, what string, fix problem.Fix) {
	text := o.p.scan.text
	from := min(o.p.scan.pos, len(text))
	to := min(from+1, len(text))
	for to < len(text) && to < from+20 && !isBlank(text[to]) && text[to] != ',' {
		to++
	}
	fault := text[from:to]
	if strings.TrimSpace(fault) == "" {
		o.report.failAfter(o.n, name, from, to, fix, "%s ends too early", name)
		return
	}
	o.report.failAfter(o.n, name, from, to, fix, "%q %s", fault, what)
}
