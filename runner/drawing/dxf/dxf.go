// Package dxf reads DXF files, both text and binary. Each kind of entity has a decoder
// in a file of its own and a line in the table of decoders.
package dxf

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
)

// reader is the state of reading a DXF file.
//
// Source of all that follows: DXF Reference; the sections are named where
// they matter. Group codes are written as there.
type reader struct {
	file *source.File
	out  sink.Sink
	opt  Options

	group        *groups
	atNextEntity bool // the current group begins the next entity

	names        names
	layers       layerCache
	unit         sink.Unit
	hint         string // what $MEASUREMENT suggests
	blocks       map[string]*block
	unitSettled  bool          // the unit is
	copyLayer    int32         // the layer of the block's copy, for what is on layer 0 in it
	copyPaint    contour.Paint // its colour, for what has that of its block
	depth        int           // of blocks in blocks
	stopAt       int           // where another reading of the same entities begins, 0 for nowhere
	copies       int
	scannedBytes int
	clips        *blockClips // nil before they were looked for
	entities     entity      // the current one
}

// Options controls how fast a file is read. The result does not depend on it.
type Options struct {
	Workers int // processors that may be used
	// SplitFrom is the size (bytes) of the entities from which two halves are read
	// at the same time. 0 means 128 KB.
	SplitFrom int
}

// IsDXF reports whether data begins like a DXF file.
func IsDXF(data []byte) bool { return IsBinary(data) || looksLikeText(data) }

// looksLikeText reports whether data begins with a group code on a line of its own.
func looksLikeText(data []byte) bool {
	head := bytes.TrimPrefix(data[:min(len(data), 4096)], utf8Mark)
	line, _, found := bytes.Cut(bytes.ReplaceAll(head, []byte("\r"), []byte("\n")), []byte("\n"))
	code := bytes.TrimSpace(line)
	return found && (string(code) == "0" || string(code) == "999")
}

// Read reads a DXF file.
func Read(f *source.File, out sink.Sink, opt Options) {
	if opt.SplitFrom == 0 {
		opt.SplitFrom = 128 << 10
	}
	r := newReader(f, out, opt)
	r.out.Layer("0") // every DXF file has it
	r.sections()
	if !r.unitSettled && !out.Stopped() {
		r.settleUnit()
	}
	out.Finish(r.hint)
}

func newReader(f *source.File, out sink.Sink, opt Options) *reader {
	r := &reader{file: f, out: out, opt: opt, group: newGroups(f.Data), blocks: map[string]*block{}, layers: newLayerCache(), copyLayer: -1, copyPaint: contour.Paint{Kind: contour.Plain}}
	r.group.numbers = true
	r.names.utf8 = bytes.HasPrefix(f.Data, utf8Mark)
	r.entities.r = r
	return r
}

// sections reads the file section by section, up to EOF.
func (r *reader) sections() {
	for !r.out.Stopped() {
		if !r.group.next() {
			r.ended("before EOF")
			return
		}
		at := r.group.at
		switch {
		case r.group.code == 0 && r.group.is("EOF"):
			return
		case r.group.code != 0 || !r.group.is("SECTION"):
			r.stopf(problem.DamagedDrawing, at, r.group.pos, problem.Advise(damagedFix), "a section (0 SECTION) or the end of the file (0 EOF) is expected here")
			return
		}
		if !r.group.next() {
			r.ended("after SECTION")
			return
		}
		if r.group.code != 2 {
			r.stopf(problem.DamagedDrawing, r.group.at, r.group.pos, problem.Advise(damagedFix), "the name of the section (2 NAME) is expected here")
			return
		}
		name := string(r.group.val())
		if r.unitSettled && (name == "HEADER" || name == "TABLES" || name == "BLOCKS" || name == "ENTITIES") {
			r.stopf(problem.DamagedDrawing, r.group.at, r.group.to, problem.Advise(damagedFix),
				"section %s comes after ENTITIES; the order is HEADER, TABLES, BLOCKS, ENTITIES", name)
			return
		}
		done := false
		switch name {
		case "HEADER":
			done = r.header()
		case "TABLES":
			done = r.tables()
		case "BLOCKS":
			done = r.readBlocks()
		case "ENTITIES":
			r.settleUnit()
			r.readEntities()
			done = r.atNextEntity && r.group.is("ENDSEC")
			if r.atNextEntity && !done && !r.out.Stopped() {
				r.stopf(problem.DamagedDrawing, r.group.at, r.group.to, problem.Advise(damagedFix), "%s inside section ENTITIES", r.group.val())
			}
		case "OBJECTS":
			done = objects(r)
		default:
			done = r.skipSection()
		}
		if !done {
			r.ended("inside section " + name)
			return
		}
	}
}

const damagedFix = "save the drawing again as DXF: this file is damaged"

// ended reports that the file ends too early, or is damaged.
func (r *reader) ended(where string) {
	if r.out.Stopped() {
		return
	}
	n := len(r.file.Data)
	switch {
	case r.group.fault == "" || r.group.cut:
		why := "ENDSEC and EOF are missing"
		if where == "before EOF" {
			why = "EOF is missing"
		}
		r.stopf(problem.CutOffDrawing, n, n, problem.Advise("save or copy the drawing again: its end was cut off"), "the file ends %s: %s", where, why)
	default:
		r.stopf(problem.DamagedDrawing, r.group.faultAt, lineEnd(r.group, r.group.faultAt), problem.Advise(damagedFix), "%s", r.group.fault)
	}
}

func lineEnd(g *groups, at int) int {
	data := g.data
	if g.isBinary() {
		return min(at+1, len(data))
	}
	if i := bytes.IndexAny(data[at:min(len(data), at+200)], "\r\n"); i >= 0 {
		return at + i
	}
	return min(len(data), at+200)
}

// skipSection moves to the end of a section that is not read.
func (r *reader) skipSection() bool {
	for r.group.next() {
		if r.group.code == 0 && r.group.is("ENDSEC") {
			return true
		}
	}
	return false
}

// objects reads the section of objects: whether one states an order of drawing.
//
// Source: DXF Reference, "SORTENTSTABLE": 331 is an entity, and the 5 after it its
// place in the order.
func objects(r *reader) bool {
	at, end := 0, 0 // the table that is being read
	for r.group.next() {
		switch {
		case r.group.code == 0 && r.group.is("ENDSEC"):
			return true
		case r.group.code == 0:
			if at = 0; r.group.is("SORTENTSTABLE") {
				at, end = r.group.at, r.group.to
			}
		case r.group.code == 331 && at > 0:
			r.out.Say(sink.Message{Severity: problem.Warning, Code: problem.NotRead, Once: true, About: "order", Covering: true, At: at, End: end,
				Fix:    problem.Advise("bring the entities into this order in the drawing program, or copy them to a new drawing one after another"),
				Format: "the drawing states an order of its own, which is not read: what covers what follows the order of the file"})
			at = 0
		}
	}
	return false
}

// settleUnit decides on the unit before the first entity is read.
func (r *reader) settleUnit() {
	r.unitSettled = true
	r.out.Unit(r.unit, affine.Scale)
}

// stopf reports a problem after which the rest of the file is not read.
func (r *reader) stopf(code problem.Code, at, end int, fix problem.Fix, format string, args ...any) {
	r.out.Say(sink.Message{Code: code, At: at, End: end, Fix: fix, Format: format, Args: args, Stop: true})
}

// header reads the variables that are used.
func (r *reader) header() bool {
	var variable string
	for r.group.next() {
		if r.group.code == 0 {
			return r.group.is("ENDSEC")
		}
		if r.group.code == 9 {
			variable = string(r.group.val())
			continue
		}
		switch {
		case variable == "$ACADVER" && r.group.code == 1:
			// From AC1021 (2007) on, text is UTF-8.
			r.names.utf8 = r.names.utf8 || string(r.group.val()) >= "AC1021"
		case variable == "$DWGCODEPAGE" && r.group.code == 3:
			r.names.setPage(string(r.group.val()))
		case variable == "$INSUNITS" && r.group.code == 70:
			r.unit = statedUnit(r.group)
		case variable == "$MEASUREMENT" && r.group.code == 70:
			switch n, _ := r.group.integer(); n {
			case 0:
				r.hint = "; $MEASUREMENT suggests inches"
			case 1:
				r.hint = "; $MEASUREMENT suggests a metric unit"
			}
		}
	}
	return false
}

func clip(b []byte) []byte { return b[:min(len(b), 40)] }

// tables reads the layers.
func (r *reader) tables() bool {
	if !r.group.next() {
		return false
	}
	for {
		if r.group.code == 0 && r.group.is("ENDSEC") {
			return true
		}
		if r.group.code == 0 && r.group.is("LAYER") {
			if !r.layerEntry() {
				return false
			}
			continue
		}
		if !r.group.next() {
			return false
		}
	}
}
