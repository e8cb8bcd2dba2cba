package svg

import "mahlstick/runner/vector"

// clipRect cuts what follows in the current group off at a rectangle.
func clipRect(w *walker, x, y, width, height float64) {
	w.out.Groups().Clip([4]vector.XY{{X: x, Y: y}, {X: x + width, Y: y}, {X: x + width, Y: y + height}, {X: x, Y: y + height}})
}

// clipPath cuts an element off at its clip-path, where that is a rectangle, and
// warns of others, and of those of an svg, whose coordinates are not settled. It answers false where nothing is left of the element.
//
// Source: CSS Masking Module Level 1, section 5, "Clipping Paths"; from memory.
func (w *walker) clipPath(n *node, s *state, id string) bool {
	k, ok := w.doc.byID[id]
	if id == "" || !ok {
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
	case n.kind == "svg" || len(shapes) > 1 || !clipByRect(w, path, &w.doc.nodes[shapes[0]], s):
		warnClipped(w, n, "a clip-path")
	}
	return true
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
