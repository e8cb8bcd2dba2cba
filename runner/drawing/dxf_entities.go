package drawing

import "mahlstick/recipe/problem"

// entities reads entities until a group 0 that is none of them: ENDSEC,
// ENDBLK, EOF. Then more is set; at the end of the file it is not.
func (d *dxf) entities() {
	d.skipEntity()
	d.each()
}

// each reads entities from the current one on.
func (d *dxf) each() {
	for d.more && !d.stopped {
		if d.until > 0 && d.g.at >= d.until {
			return
		}
		d.p = props{at: d.g.at, end: d.g.to, normal: xyz{0, 0, 1}}
		switch string(d.g.val()) {
		case "LINE":
			d.line()
		case "LWPOLYLINE":
			d.lightPolyline()
		case "POLYLINE":
			d.polyline()
		case "ARC":
			d.arc(true)
		case "CIRCLE":
			d.arc(false)
		case "ELLIPSE":
			d.ellipse()
		case "SPLINE":
			d.spline()
		case "INSERT":
			d.insert()
		case "HATCH":
			d.hatch("HATCH")
		case "MPOLYGON":
			d.hatch("MPOLYGON")
		case "SOLID":
			d.solid("SOLID")
		case "TRACE":
			d.solid("TRACE")
		case "SEQEND", "VERTEX":
			d.skipEntity()
		case "ENDSEC", "ENDBLK", "EOF", "SECTION", "BLOCK":
			return
		default:
			d.passOver(string(d.g.val()))
		}
	}
}

// field moves to the entity's next group and answers false at the entity's
// end.
func (d *dxf) field() bool {
	if !d.g.next() {
		d.more = false
		return false
	}
	if d.g.code == 0 {
		d.more = true
		return false
	}
	return true
}

func (d *dxf) skipEntity() {
	for d.field() {
	}
}

// common takes a group that all entities may have.
func (d *dxf) common() {
	switch d.g.code {
	case 8:
		d.p.layer = d.g.val()
	case 67:
		n, _ := d.g.integer()
		d.p.paper = n == 1
	case 60:
		n, _ := d.g.integer()
		d.p.hidden = n == 1
	case 210:
		d.p.normal.x = d.num()
	case 220:
		d.p.normal.y = d.num()
	case 230:
		d.p.normal.z = d.num()
	}
}

// num is the current value; a value that is no finite number is reported and
// spoils the entity.
func (d *dxf) num() float64 {
	v, ok := d.g.number()
	if !ok {
		d.badValue("a number")
	}
	return v
}

func (d *dxf) whole() int {
	n, ok := d.g.integer()
	if !ok {
		d.badValue("a whole number")
	}
	return n
}

func (d *dxf) badValue(want string) {
	d.p.bad = true
	at := d.g.at
	if d.g.isBinary() {
		d.report(problem.BadValue, at, d.g.pos, problem.Advise("save the drawing again as DXF"), "here group %d must be %s", d.g.code, want)
		return
	}
	fix := problem.Advise("write a plain decimal number with a point, or save the drawing again as DXF")
	d.report(problem.BadValue, at, at+len(d.g.val()), fix, "%q is not %s (group %d)", clip(d.g.val()), want, d.g.code)
}

// spoiled reports what is wrong with the entity as a whole.
func (d *dxf) spoiled(code problem.Code, fix problem.Fix, format string, args ...any) {
	d.p.bad = true
	d.report(code, d.p.at, d.p.end, fix, format, args...)
}

// wanted decides whether the entity, now read, belongs to the picture. What
// does not is counted.
func (d *dxf) wanted(what string) (layer int32, ok bool) {
	if d.p.bad || d.stopped {
		return 0, false
	}
	layer = d.effective()
	if why := d.unwanted(layer); why != "" {
		d.count(what, layer, why, d.p.at, d.p.end)
		return 0, false
	}
	return layer, true
}

// unwanted says why the entity, on a layer, is not to be painted, or "".
func (d *dxf) unwanted(layer int32) string {
	switch {
	case d.p.paper:
		return "in paper space"
	case d.p.hidden:
		return "marked as invisible"
	}
	return d.layers[layer].why
}

// objectMap is the map from the entity's own coordinates to mm.
func (d *dxf) objectMap() (m xform, ok bool) {
	if d.p.normal == (xyz{0, 0, 1}) {
		return d.xf, true
	}
	o, ok := objectPlane(d.p.normal)
	if !ok {
		d.spoiled(problem.BadValue, problem.Advise(damagedFix), "the extrusion direction (group 210) has no length")
		return m, false
	}
	d.tilted = d.p.normal.x != 0 || d.p.normal.y != 0
	return d.xf.after(&o), true
}

// passedOver are entities that are no part of a picture of strokes, and why.
var passedOver = map[string]string{
	"TEXT": isText, "MTEXT": isText, "RTEXT": isText, "ARCALIGNEDTEXT": isText, "ATTRIB": isText, "ATTDEF": isText,
	"DIMENSION": isDimension, "ARC_DIMENSION": isDimension, "LARGE_RADIAL_DIMENSION": isDimension,
	"LEADER": isDimension, "MULTILEADER": isDimension, "MLEADER": isDimension, "TOLERANCE": isDimension,
	"IMAGE": isImage, "WIPEOUT": isImage, "OLE2FRAME": isImage, "OLEFRAME": isImage,
	"PDFUNDERLAY": isImage, "DWFUNDERLAY": isImage, "DGNUNDERLAY": isImage,
	"POINT": "a point has no line", "RAY": isConstruction, "XLINE": isConstruction,
	"VIEWPORT": isView, "LIGHT": isView, "SUN": isView, "CAMERA": isView, "SECTION": isView,
}

const (
	isText         = "text is not painted"
	isDimension    = "dimensions are not painted"
	isImage        = "images are not painted"
	isConstruction = "construction lines are not painted"
	isView         = "views and lights are not painted"
	isUnread       = "entities of this kind are not read"
)

// passOver counts an entity that is not read. Where it may be part of the
// picture a warning says so.
func (d *dxf) passOver(what string) {
	for d.field() {
		d.common()
	}
	if len(what) > 40 {
		what = what[:40]
	}
	why, known := passedOver[what]
	if !known {
		why = isUnread
	}
	d.p.bad = false
	layer, ok := d.wanted(what)
	if !ok {
		return
	}
	d.count(what, layer, why, d.p.at, d.p.end)
	if !known {
		d.warnOnce(problem.NotRead, what, d.p.at, d.p.end,
			problem.Advise("turn it into polylines in the drawing program if it belongs to the picture"),
			"%s is not read, so it will not be painted", what)
	}
}
