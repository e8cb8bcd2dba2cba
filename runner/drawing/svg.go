package drawing

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
)

// svg is the state of reading an SVG file.
//
// Sources: SVG 1.1 (Second Edition) and SVG 2, W3C; sections are named where
// they matter.
type svg struct {
	*reading
	nodes  []svgNode
	byID   map[string]int32
	sheet  sheet
	visits int
	inUse  []bool // by node: it is being copied
}

var gzipMark = []byte{0x1f, 0x8b}

// unpacked is the file as plain text: decompressed, in UTF-8.
func (r *reading) unpacked() bool {
	data := r.file.Data
	if bytes.HasPrefix(data, gzipMark) {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err == nil {
			data, err = io.ReadAll(io.LimitReader(z, MaxBytes+1))
		}
		switch {
		case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
			r.stop(problem.CutOffDrawing, len(r.file.Data), len(r.file.Data), problem.Advise("save or copy the drawing again: its end was cut off"), "the compressed file ends too early")
			return false
		case err != nil:
			r.stop(problem.DamagedDrawing, 0, len(gzipMark), problem.Advise("save the drawing again"), "the compressed file cannot be unpacked: %v", err)
			return false
		case len(data) > MaxBytes:
			r.stop(problem.TooLarge, 0, len(gzipMark), problem.Advise("split the drawing, or simplify its curves"), "the unpacked file has more than %d MB", MaxBytes>>20)
			return false
		}
	}
	data = inUTF8(data)
	if len(data) != len(r.file.Data) || !bytes.Equal(data, r.file.Data) {
		// Places are those in the text as it is unpacked.
		r.file = source.New(r.file.Name, data)
	}
	return true
}

// inUTF8 turns text that says it is in another encoding into UTF-8.
func inUTF8(data []byte) []byte {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		out, _, err := transform.Bytes(unicode.BOMOverride(unicode.UTF8.NewDecoder()), data)
		if err == nil {
			return out
		}
	}
	head, _, found := bytes.Cut(data[:min(len(data), 200)], []byte("?>"))
	_, name, named := strings.Cut(string(head), "encoding=")
	if !found || !named || len(name) < 2 {
		return data
	}
	name, _, _ = strings.Cut(name[1:], name[:1])
	if e, err := htmlindex.Get(name); err == nil {
		if canonical, _ := htmlindex.Name(e); canonical != "utf-8" && !strings.HasPrefix(canonical, "utf-16") {
			if out, err := e.NewDecoder().Bytes(data); err == nil {
				return out
			}
		}
	}
	return data
}

func looksLikeXML(data []byte) bool {
	head := bytes.TrimPrefix(data[:min(len(data), 1000)], utf8Mark)
	head = bytes.ReplaceAll(head, []byte{0}, nil) // UTF-16
	head = bytes.TrimPrefix(bytes.TrimPrefix(head, []byte("\xff\xfe")), []byte("\xfe\xff"))
	return bytes.HasPrefix(bytes.TrimLeft(head, " \t\r\n"), []byte("<"))
}

func readSVG(r *reading) {
	if !r.unpacked() {
		return
	}
	nodes := r.svgTree()
	if nodes == nil {
		return
	}
	s := &svg{reading: r, nodes: nodes, byID: map[string]int32{}, inUse: make([]bool, len(nodes))}
	for i := range nodes {
		n := &nodes[i]
		if id := n.attr("id"); id != "" {
			if _, ok := s.byID[id]; !ok {
				s.byID[id] = int32(i)
			}
		}
		if n.kind == "style" {
			s.sheet.add(string(n.text))
		}
		if n.kind == "g" {
			if n.name = s.nameOf(n); n.name != "" {
				s.layerNumber(n.name)
			}
		}
	}
	if s.sheet.unknown {
		s.warnOnce(problem.UnreadStyle, "", int(nodes[0].start), int(nodes[0].end), problem.Advise("save the drawing as plain SVG with styles on the elements"),
			"some rules of the drawing's style sheet are not understood; look whether all its shapes are read")
	}
	m, state, ok := s.rootViewport(&nodes[0])
	if !ok {
		return
	}
	if why := s.style(&nodes[0], &state); why != "" {
		s.count("svg", s.layerNumber(""), why, int(nodes[0].start), int(nodes[0].end))
		return
	}
	s.inside(&nodes[0], &m, state, 0)
	if s.stopped {
		return
	}
	s.checkLayer()
	s.reportNoUnit("")
}

// nameOf is the name of an element: its title, else its identifier.
func (s *svg) nameOf(n *svgNode) string {
	for _, k := range n.kids {
		if kid := &s.nodes[k]; kid.kind == "title" {
			if title := strings.Join(strings.Fields(string(kid.text)), " "); title != "" {
				return title
			}
		}
	}
	return n.attr("id")
}

// rootViewport settles the unit and the map from user units to mm, y upwards.
func (s *svg) rootViewport(root *svgNode) (xform, svgState, bool) {
	state := svgState{rule: contour.NonZero, fill: true, strokeWidth: svgLength{value: 1}, ends: "butt"}
	box, boxed := parseViewBox(root.attr("viewBox"))
	if text := root.attr("viewBox"); text != "" && !boxed {
		at, end := s.attrPlace(root, "viewBox", 0, 0)
		s.stop(problem.BadValue, at, end, problem.Advise("write four numbers, the last two above 0"), "%q is no view box", clip([]byte(text)))
		return xform{}, state, false
	}
	size := func(name string) (l svgLength, given, ok bool) {
		text := root.attr(name)
		if text == "" || text == "auto" {
			return l, false, true
		}
		l, ok = parseLength(text)
		if !ok || !l.percent && !(l.value > 0) {
			at, end := s.attrPlace(root, name, 0, 0)
			s.stop(problem.BadValue, at, end, problem.Advise("write a length such as 210mm"), "%q is no %s of a page", clip([]byte(text)), name)
			return l, false, false
		}
		return l, !l.percent, true
	}
	w, wGiven, ok1 := size("width")
	h, hGiven, ok2 := size("height")
	if !ok1 || !ok2 {
		return xform{}, state, false
	}

	// The page in px, and the map from user units to px.
	width, height := w.px(0), h.px(0)
	toPX := scaling(1)
	switch {
	case boxed:
		switch {
		case !wGiven && !hGiven:
			width, height = box.width, box.height
		case !wGiven:
			width = float64(height * (box.width / box.height))
		case !hGiven:
			height = float64(width * (box.height / box.width))
		}
		toPX = box.fit(root.attr("preserveAspectRatio"), width, height)
		state.width, state.height = box.width, box.height
	case !wGiven || !hGiven:
		width, height = w.px(0), h.px(0)
		state.width, state.height = width, height
	default:
		state.width, state.height = width, height
	}

	said := stated{}
	name, given := "width", w
	if !wGiven {
		name, given = "height", h
	}
	if wGiven || hGiven {
		mm := float64(toPX.stretch() * pxMM)
		said = stated{name: nameOfUnit(mm), mm: mm, how: name + "=" + `"` + root.attr(name) + `"`}
		at, end := s.attrPlace(root, name, 0, 0)
		said.place = s.place(at, end)
		if u := s.opt.Unit; u.Name != "" && !u.Override && u.Name == cssUnits[given.unit].name {
			// The recipe repeats the unit in which the page's size is written.
			s.opt.Unit.Name = ""
		}
	}
	s.settleUnit(said)
	// settleUnit gave the length of a user unit, which is what the file says
	// or what the recipe says instead.
	scale := s.scale / toPX.stretch()
	flip := plain(scale, 0, 0, -scale, 0, float64(height*scale))
	if own := root.attr("transform"); own != "" {
		m, ok := s.transform(root)
		if !ok {
			return xform{}, state, false
		}
		toPX = toPX.after(&m)
	}
	return flip.after(&toPX), state, true
}

// nameOfUnit names the unit of a length, where it has a name.
func nameOfUnit(mm float64) string {
	for _, u := range paintersUnits {
		if sameUnit(u.mm, mm) {
			return u.name
		}
	}
	return Short(mm) + " mm"
}

// transform reads an element's transform attribute and reports what is wrong
// with it.
func (s *svg) transform(n *svgNode) (xform, bool) {
	text := ""
	for _, a := range n.attrs {
		if a.name == "transform" {
			text = a.value
		}
	}
	if text == "" || strings.TrimSpace(text) == "none" {
		return scaling(1), true
	}
	m, from, to, ok := parseTransform(text)
	if !ok {
		at, end := s.attrPlace(n, "transform", from, to)
		s.report(problem.BadValue, at, end, problem.Advise("write it as matrix, translate, scale, rotate, skewX or skewY with the right count of numbers"),
			"%q is no transform", clip([]byte(text[from:to])))
	}
	return m, ok
}
