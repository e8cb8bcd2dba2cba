// Package svg reads SVG files.
//
// Sources: SVG 1.1 (Second Edition) and SVG 2, W3C; sections are named where
// they matter.
package svg

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
)

// IsSVG reports whether data begins like an SVG or any other XML file, or is
// compressed.
func IsSVG(data []byte) bool {
	if bytes.HasPrefix(data, gzipMark) {
		return true
	}
	head := bytes.TrimPrefix(data[:min(len(data), 1000)], utf8Mark)
	head = bytes.ReplaceAll(head, []byte{0}, nil) // UTF-16
	head = bytes.TrimPrefix(bytes.TrimPrefix(head, []byte("\xff\xfe")), []byte("\xfe\xff"))
	return bytes.HasPrefix(bytes.TrimLeft(head, " \t\r\n"), []byte("<"))
}

// Read reads an SVG file that was unpacked.
func Read(f *source.File, out sink.Sink) {
	doc := parse(f, out)
	if doc == nil {
		return
	}
	w := &walker{report: reporter{doc, out}, doc: doc, out: out, inUse: make([]bool, len(doc.nodes))}
	for i := range doc.nodes {
		if n := &doc.nodes[i]; n.kind == "g" && n.name != "" {
			out.Layer(n.name)
		}
	}
	root := &doc.nodes[0]
	if doc.rules.notUnderstood {
		w.report.warnOnce(root, problem.UnreadStyle, "", problem.Advise("save the drawing as plain SVG with styles on the elements"),
			"some rules of the drawing's style sheet are not understood; check that all its shapes are read")
	}
	s := initial()
	o := apply(w, root, &s)
	if !w.rootViewport(root, &o, &s) {
		return
	}
	if why := o.why(); why != "" {
		w.report.count(&sink.Entity{What: "svg", Layer: out.Layer(""), At: int(root.start), End: int(root.end)}, why)
		return
	}
	w.children(root, s, 0)
	out.Finish("")
}

// rootViewport settles the unit and the map from user units to those of the
// drawing, y upwards.
func (w *walker) rootViewport(root *node, o *own, s *state) bool {
	box, boxed := parseViewBox(root.attr("viewBox"))
	if text := root.attr("viewBox"); text != "" && !boxed {
		w.report.stopAttr(root, "viewBox", problem.Advise("write four numbers, the last two above 0"), "%q is no view box", clip(text))
		return false
	}
	page, ok := readPageSize(w.report, root, o)
	if !ok {
		return false
	}
	// The page in px, and the map from user units to px.
	width, height := page.width.px(0), page.height.px(0)
	toPX := affine.Scale(1)
	if s.width, s.height = width, height; boxed {
		width, height = page.inPixels(box)
		toPX = box.fit(root.attr("preserveAspectRatio"), width, height)
		s.width, s.height = box.width, box.height
	}
	stretch := toPX.Stretch()
	own, ok := transformOf(w, root, o, s)
	toPX = toPX.After(&own)
	unit := statedUnit(w.report, root, page, stretch)
	unit.Width, unit.Height = width/stretch, height/stretch
	w.out.Unit(unit, func(mm float64) affine.Map {
		// mm is the length of a user unit, which is what the file says or what
		// the recipe says instead.
		scale := mm / stretch
		flip := affine.Flat(scale, 0, 0, -scale, 0, float64(height*scale))
		return flip.After(&toPX)
	})
	w.stretchPX = w.out.Groups().Map().Stretch() / toPX.Stretch()
	return ok
}

// pageSize is the size of the page as written.
type pageSize struct {
	width, height           length
	widthGiven, heightGiven bool // in units, not as a share of what is around
}

func readPageSize(w reporter, root *node, o *own) (p pageSize, ok bool) {
	size := func(name string) (l length, given, ok bool) {
		text := w.geometry(root, o, name)
		if text == "" || text == "auto" {
			return l, false, true
		}
		l, ok = parseLength(text)
		if !ok || !l.percent && !(l.value > 0) {
			w.stopAttr(root, name, problem.Advise("write a length such as 210mm"), "%q is not the %s of a page", clip(text), name)
			return l, false, false
		}
		return l, !l.percent, true
	}
	var ok1, ok2 bool
	p.width, p.widthGiven, ok1 = size("width")
	p.height, p.heightGiven, ok2 = size("height")
	return p, ok1 && ok2
}

// inPixels is the size in px of a page that shows a view box. A side that is not given
// follows from the other.
func (p *pageSize) inPixels(box viewBox) (width, height float64) {
	width, height = p.width.px(0), p.height.px(0)
	switch {
	case !p.widthGiven && !p.heightGiven:
		return box.width, box.height
	case !p.widthGiven:
		width = float64(height * (box.width / box.height))
	case !p.heightGiven:
		height = float64(width * (box.height / box.width))
	}
	return width, height
}

// statedUnit is the unit that follows from the size of the page, if that is given.
func statedUnit(w reporter, root *node, p pageSize, stretch float64) sink.Unit {
	name, given := "width", p.width
	if !p.widthGiven {
		name, given = "height", p.height
	}
	if !p.widthGiven && !p.heightGiven {
		return sink.Unit{}
	}
	mm := float64(stretch * pxMM)
	at, end := w.doc.attrPlace(root, name, 0, 0)
	return sink.Unit{
		Name: nameOfUnit(mm), MM: mm, How: name + "=" + `"` + given.text() + `"`, At: at, End: end,
		Page: lengthUnits[given.unit].name,
	}
}

// nameOfUnit is the name of a unit of this length or, if it has none, the length.
func nameOfUnit(mm float64) string {
	for _, u := range drawing.LikelyUnits() {
		if drawing.SameUnit(u.MM, mm) {
			return u.Name
		}
	}
	return drawing.Short(mm) + " mm"
}

func clip(text string) string { return text[:min(len(text), 40)] }
