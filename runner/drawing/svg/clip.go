package svg

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// clipRect cuts what follows in the current group off at a rectangle.
func clipRect(w *walker, x, y, width, height float64) {
	w.out.Groups().Clip([4]vector.XY{{X: x, Y: y}, {X: x + width, Y: y}, {X: x + width, Y: y + height}, {X: x, Y: y + height}})
}

// clipPath cuts an element off at its clip-path, and warns of what is not
// understood, and of those of an svg, whose coordinates are not settled. It
// answers false where nothing is left of the element.
//
// Source: CSS Masking Module Level 1, section 5, "Clipping Paths"; from memory.
func (w *walker) clipPath(n *node, s *state, o *own) bool {
	k, ok := w.doc.byID[o.clipPath]
	if o.clipPath == "" || !ok {
		return true
	}
	path := &w.doc.nodes[k]
	if path.kind != "clipPath" {
		return true
	}
	var shapes []int32
	for _, kid := range path.kids {
		if kind := w.doc.nodes[kid].kind; isShape(kind) || kind == "use" || kind == "text" {
			shapes = append(shapes, kid)
		}
	}
	switch {
	case len(shapes) == 0:
		return false
	case n.kind == "svg":
		warnClipped(w, n, "a clip-path")
	case len(shapes) > 1 || !clipByRect(w, path, &w.doc.nodes[shapes[0]], s):
		c := clipper{w: w, of: n, own: o, state: s}
		if !c.path(path, shapes, 0) {
			warnClipped(w, n, "a clip-path")
			break
		}
		// Where the recipe does not ask for cutting, shapes are read whole.
		warnUncut(w, n)
	}
	return true
}

// warnUncut warns of a clip-path that is applied only where the recipe asks for
// it.
func warnUncut(w *walker, n *node) {
	w.report.say(n, sink.Message{Severity: problem.Warning, Code: problem.ClippedShape, Once: true, Uncut: true,
		Fix:    problem.Advise("write clip in the column cut to if what is cut off should not be painted"),
		Format: "this element is cut off by a clip-path, which is not applied: its shapes are read whole"})
}

// clipByRect applies a clip-path that is one plain rectangle. It answers false
// for any other.
func clipByRect(w *walker, path, rect *node, s *state) bool {
	under := *s
	of, o := apply(w, path, &under), own{}
	if rect.kind == "rect" {
		o = apply(w, rect, &under)
	}
	if rect.kind != "rect" || path.attr("clipPathUnits") == "objectBoundingBox" || of.clipPath != "" || o.clipPath != "" || o.undisplayed || under.hidden {
		return false
	}
	outer, ok1 := transformOf(w, path, &of, s)
	inner, ok2 := transformOf(w, rect, &o, s)
	at, ok3 := w.report.placed(rect, &o, s)
	width, ok4 := w.report.length(rect, &o, "width", s.width, 0)
	height, ok5 := w.report.length(rect, &o, "height", s.height, 0)
	rx, _ := w.report.length(rect, &o, "rx", s.width, 0)
	ry, _ := w.report.length(rect, &o, "ry", s.height, 0)
	if !ok1 || !ok2 || !ok3 || !ok4 || !ok5 || rx > 0 || ry > 0 || !(width > 0 && height > 0) {
		return false
	}
	m := outer.After(&inner)
	var corners [4]vector.XY
	for i, p := range [4]vector.XY{{}, {X: width}, {X: width, Y: height}, {Y: height}} {
		corners[i] = m.At(vector.XYZ{X: at.X + p.X, Y: at.Y + p.Y})
	}
	w.out.Groups().Clip(corners)
	return true
}

// clipper applies a clip-path of any shapes.
type clipper struct {
	w     *walker
	of    *node // the element that is cut off
	own   *own
	state *state
}

// maxClipDepth bounds clip-paths on clip-paths.
const maxClipDepth = 8

// path applies a clip-path, and the one that it has itself. It answers false
// where it is not understood.
func (c *clipper) path(path *node, shapes []int32, depth int) bool {
	s := *c.state
	s.clipRule = initial().clipRule
	o := apply(c.w, path, &s)
	outer, ok := transformOf(c.w, path, &o, c.state)
	if path.attr("clipPathUnits") == "objectBoundingBox" {
		if !isShape(c.of.kind) {
			return false
		}
		box := fillBox(c.w, c.of, c.own, c.state)
		unit := affine.Flat(box.width, 0, 0, box.height, box.x, box.y)
		outer = outer.After(&unit)
		s.width, s.height = 1, 1
	}
	if !ok || depth > maxClipDepth {
		return false
	}
	var area []sink.ClipShape
	for _, k := range shapes {
		shape, known := c.shape(&c.w.doc.nodes[k], s, outer)
		if !known {
			return false
		}
		area = append(area, shape...)
	}
	if o.clipPath != "" {
		k, found := c.w.doc.byID[o.clipPath]
		if !found || c.w.doc.nodes[k].kind != "clipPath" || !c.path(&c.w.doc.nodes[k], c.w.doc.nodes[k].kids, depth+1) {
			return false
		}
	}
	c.w.out.Groups().ClipTo(area)
	return true
}

// shape is what a shape in a clip-path, or a copy of one, adds to it. Known is
// false for what is not understood.
func (c *clipper) shape(n *node, s state, outer affine.Map) (area []sink.ClipShape, known bool) {
	w := c.w
	if w.visits++; w.visits > maxVisits {
		return nil, false
	}
	o := apply(w, n, &s)
	if o.why() == "" && s.hidden || o.undisplayed {
		return nil, true
	}
	inner, ok := transformOf(w, n, &o, &s)
	if !ok || o.clipPath != "" {
		return nil, false
	}
	m := outer.After(&inner)
	switch {
	case n.kind == "use":
		k, found := w.doc.byID[strings.TrimPrefix(n.attr("href"), "#")]
		at, placed := w.report.placed(n, &o, &s)
		if !found || !placed || !isShape(w.doc.nodes[k].kind) {
			return nil, false
		}
		shift := affine.Shift(at.X, at.Y, 0)
		return c.shape(&w.doc.nodes[k], s, m.After(&shift))
	case !isShape(n.kind):
		return nil, n.kind != "text"
	}
	outlines, ok := (&outliner{report: w.report, n: n, own: &o}).outlines(&s)
	var curves []flatten.Curve
	for _, l := range outlines {
		curves = append(curves, l.Curve)
	}
	return []sink.ClipShape{{Map: m, Curves: curves, Rule: s.clipRule}}, ok
}
