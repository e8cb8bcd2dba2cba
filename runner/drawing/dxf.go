package drawing

import (
	"bytes"
	"fmt"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

func related(at source.Place, note string) problem.Related {
	return problem.Related{Place: at, Note: note}
}

// dxf is the state of reading a DXF file.
//
// Source of all that follows: DXF Reference; the sections are named where
// they matter. Group codes are written as there.
type dxf struct {
	*reading
	g    *groups
	more bool // the current group begins the next entity

	names       names
	unitStated  stated
	hint        string // what $MEASUREMENT hints at
	blocks      map[string]*block
	rawLayers   map[string]int32
	lastRaw     []byte
	lastLayer   int32
	sawEntities bool

	p       props
	xf      xform // from the coordinates of the world or block to mm
	inherit int32 // the layer of the block's copy, for what is on layer 0 in it
	depth   int
	until   int // where another reading of the same entities begins, 0 for nowhere

	corners        []corner // scratch, as the following
	edges          []hatchEdge
	edgePoints     []XY
	knots, weights []float64
	control, fits  []xyz
	curve          []weighted
}

// props are what all entities may have.
type props struct {
	at, end int // place of the entity's name
	layer   []byte
	paper   bool
	hidden  bool
	bad     bool // a value could not be read
	normal  xyz  // extrusion direction
}

func readDXF(r *reading) {
	d := &dxf{
		reading:   r,
		g:         newGroups(r.file.Data),
		blocks:    map[string]*block{},
		rawLayers: map[string]int32{},
		inherit:   -1, lastLayer: -1,
	}
	d.g.numbers = true
	d.names.utf8 = bytes.HasPrefix(r.file.Data, utf8Mark)
	d.layerNumber("0") // every DXF file has it
	d.sections()
	if !d.sawEntities && !d.stopped {
		d.settle()
	}
	if d.stopped {
		return
	}
	d.checkLayer()
	d.reportNoUnit(d.hint)
}

// sections walks over the file from SECTION to ENDSEC and on to EOF.
func (d *dxf) sections() {
	for !d.stopped {
		if !d.g.next() {
			d.ended("before EOF")
			return
		}
		at := d.g.at
		switch {
		case d.g.code == 0 && d.g.is("EOF"):
			return
		case d.g.code != 0 || !d.g.is("SECTION"):
			d.stop(problem.DamagedDrawing, at, d.g.pos, problem.Advise(damagedFix), "here a section must begin (0 SECTION) or the file end (0 EOF)")
			return
		}
		if !d.g.next() {
			d.ended("after SECTION")
			return
		}
		if d.g.code != 2 {
			d.stop(problem.DamagedDrawing, d.g.at, d.g.pos, problem.Advise(damagedFix), "here the section's name must stand (2 NAME)")
			return
		}
		name := string(d.g.val())
		if d.sawEntities && (name == "HEADER" || name == "TABLES" || name == "BLOCKS" || name == "ENTITIES") {
			d.stop(problem.DamagedDrawing, d.g.at, d.g.to, problem.Advise(damagedFix),
				"section %s stands after ENTITIES; the order is HEADER, TABLES, BLOCKS, ENTITIES", name)
			return
		}
		done := false
		switch name {
		case "HEADER":
			done = d.header()
		case "TABLES":
			done = d.tables()
		case "BLOCKS":
			done = d.readBlocks()
		case "ENTITIES":
			d.settle()
			d.sawEntities = true
			d.entitiesInTwo()
			done = d.more && d.g.is("ENDSEC")
			if d.more && !done && !d.stopped {
				d.stop(problem.DamagedDrawing, d.g.at, d.g.to, problem.Advise(damagedFix), "%s inside section ENTITIES", d.g.val())
			}
		default:
			done = d.skipSection()
		}
		if !done {
			d.ended("inside section " + name)
			return
		}
	}
}

const damagedFix = "save the drawing again as DXF: this file is damaged"

// ended reports that the file stopped too early.
func (d *dxf) ended(where string) {
	if d.stopped {
		return
	}
	n := len(d.file.Data)
	switch {
	case d.g.fault == "" || d.g.cut:
		why := "ENDSEC and EOF are missing"
		if where == "before EOF" {
			why = "EOF is missing"
		}
		d.stop(problem.CutOffDrawing, n, n, problem.Advise("save or copy the drawing again: its end was cut off"), "the file ends %s: %s", where, why)
	default:
		d.stop(problem.DamagedDrawing, d.g.faultAt, d.lineEnd(d.g.faultAt), problem.Advise(damagedFix), "%s", d.g.fault)
	}
}

func (d *dxf) lineEnd(at int) int {
	data := d.file.Data
	if d.g.isBinary() {
		return min(at+1, len(data))
	}
	if i := bytes.IndexAny(data[at:min(len(data), at+200)], "\r\n"); i >= 0 {
		return at + i
	}
	return min(len(data), at+200)
}

// skipSection moves to the end of a section that does not matter.
func (d *dxf) skipSection() bool {
	for d.g.next() {
		if d.g.code == 0 && d.g.is("ENDSEC") {
			return true
		}
	}
	return false
}

// settle fixes the unit before the first entity is read.
func (d *dxf) settle() {
	d.settleUnit(d.unitStated)
	d.xf = scaling(d.scale)
}

// header reads the variables that matter.
func (d *dxf) header() bool {
	var variable string
	for d.g.next() {
		if d.g.code == 0 {
			return d.g.is("ENDSEC")
		}
		if d.g.code == 9 {
			variable = string(d.g.val())
			continue
		}
		switch {
		case variable == "$ACADVER" && d.g.code == 1:
			// From AC1021 (2007) on, text is UTF-8.
			d.names.utf8 = d.names.utf8 || string(d.g.val()) >= "AC1021"
		case variable == "$DWGCODEPAGE" && d.g.code == 3:
			d.names.setPage(string(d.g.val()))
		case variable == "$INSUNITS" && d.g.code == 70:
			d.insUnits()
		case variable == "$MEASUREMENT" && d.g.code == 70:
			switch n, _ := d.g.integer(); n {
			case 0:
				d.hint = "; $MEASUREMENT hints at inches"
			case 1:
				d.hint = "; $MEASUREMENT hints at a metric unit"
			}
		}
	}
	return false
}

func (d *dxf) insUnits() {
	s := stated{place: d.valuePlace()}
	n, ok := d.g.integer()
	switch {
	case !ok:
		s.wrong = true
		s.how = fmt.Sprintf("$INSUNITS %q", clip(d.g.val()))
	case n < 0 || n >= len(insUnits):
		s.wrong = true
		s.how = fmt.Sprintf("$INSUNITS %d", n)
	default:
		s.name, s.mm = insUnits[n].name, insUnits[n].mm
		s.how = fmt.Sprintf("$INSUNITS %d", n)
	}
	d.unitStated = s
}

func clip(b []byte) []byte { return b[:min(len(b), 40)] }

func (d *dxf) valuePlace() source.Place {
	return d.place(d.g.at, d.g.to)
}

// tables reads the layers.
func (d *dxf) tables() bool {
	if !d.g.next() {
		return false
	}
	for {
		if d.g.code == 0 && d.g.is("ENDSEC") {
			return true
		}
		if d.g.code == 0 && d.g.is("LAYER") {
			if !d.layerEntry() {
				return false
			}
			continue
		}
		if !d.g.next() {
			return false
		}
	}
}

// layerEntry reads one entry of the layer table and stops at the next group 0.
//
// Source: DXF Reference, LAYER: 62 is negative where the layer is off; bit 1
// of 70 says that it is frozen, 290 with 0 that it is not plotted.
func (d *dxf) layerEntry() bool {
	l := layer{declared: d.valuePlace()}
	var raw []byte
	var more bool
	for {
		if more = d.g.next(); !more || d.g.code == 0 {
			break
		}
		switch d.g.code {
		case 2:
			raw = d.g.val()
		case 62:
			n, _ := d.g.integer()
			l.off = n < 0
		case 70:
			n, _ := d.g.integer()
			l.frozen = n&1 != 0
		case 290:
			n, ok := d.g.integer()
			l.noPlot = ok && n == 0
		}
	}
	if raw != nil {
		l.name = d.names.text(raw)
		n := d.layerNumber(l.name)
		d.layers[n] = l
		d.judge(n)
	}
	return more
}

// layerByRaw finds the layer with a name as it stands in the file.
func (d *dxf) layerByRaw(raw []byte) int32 {
	if d.lastLayer >= 0 && bytes.Equal(raw, d.lastRaw) {
		return d.lastLayer
	}
	n, ok := d.rawLayers[string(raw)]
	if !ok {
		n = d.layerNumber(d.names.text(raw))
		d.rawLayers[string(raw)] = n
	}
	d.lastRaw, d.lastLayer = raw, n
	return n
}

var layerZero = []byte("0")

// effective is the layer that an entity counts as being on.
func (d *dxf) effective() int32 {
	raw := d.p.layer
	if raw == nil {
		raw = layerZero
	}
	if d.inherit >= 0 && len(raw) == 1 && raw[0] == '0' {
		return d.inherit
	}
	return d.layerByRaw(raw)
}
