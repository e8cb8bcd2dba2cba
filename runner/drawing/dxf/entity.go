package dxf

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// decoders holds a decoder for each kind of entity. A decoder reads one entity and
// stops at the group that begins the next.
var decoders map[string]decoder

type decoder struct {
	kind string
	read func(e *entity)
}

func init() {
	decoders = map[string]decoder{}
	for kind, read := range map[string]func(e *entity){
		"ARC":        readArc,
		"CIRCLE":     readCircle,
		"ELLIPSE":    readEllipse,
		"HATCH":      readHatch,
		"INSERT":     readInsert,
		"LINE":       readLine,
		"LWPOLYLINE": readLightPolyline,
		"MPOLYGON":   readHatch,
		"POLYLINE":   readPolyline,
		"SEQEND":     (*entity).skip,
		"SOLID":      readSolid,
		"SPLINE":     readSpline,
		"TRACE":      readSolid,
		"VERTEX":     (*entity).skip,
		"WIPEOUT":    readWipeout,
	} {
		decoders[kind] = decoder{kind, read}
	}
}

// skipped holds entities that are not painted, and why.
var skipped = map[string]string{
	"TEXT": drawing.TextNotPainted, "MTEXT": drawing.TextNotPainted, "RTEXT": drawing.TextNotPainted,
	"ARCALIGNEDTEXT": drawing.TextNotPainted, "ATTRIB": drawing.TextNotPainted, "ATTDEF": drawing.TextNotPainted,
	"DIMENSION": isDimension, "ARC_DIMENSION": isDimension, "LARGE_RADIAL_DIMENSION": isDimension,
	"LEADER": isDimension, "MULTILEADER": isDimension, "MLEADER": isDimension, "TOLERANCE": isDimension,
	"IMAGE": drawing.ImageNotPainted, "OLE2FRAME": drawing.ImageNotPainted, "OLEFRAME": drawing.ImageNotPainted,
	"PDFUNDERLAY": drawing.ImageNotPainted, "DWFUNDERLAY": drawing.ImageNotPainted, "DGNUNDERLAY": drawing.ImageNotPainted,
	"POINT": "a point has no line", "RAY": isConstruction, "XLINE": isConstruction,
	"VIEWPORT": isView, "LIGHT": isView, "SUN": isView, "CAMERA": isView, "SECTION": isView,
}

const (
	isDimension    = "dimensions are not painted"
	isConstruction = "construction lines are not painted"
	isView         = "views and lights are not painted"
	isUnknown      = "entities of this kind are not read"
)

// allEntities reads entities up to a group 0 that is not an entity: ENDSEC, ENDBLK, EOF.
// atNextEntity is then set; it is not set at the end of the file.
func (r *reader) allEntities() {
	r.entities.skip()
	r.furtherEntities()
}

// furtherEntities reads entities from the current one on.
func (r *reader) furtherEntities() {
	e := &r.entities
	for r.atNextEntity && !r.out.Stopped() {
		if r.stopAt > 0 && r.group.at >= r.stopAt {
			return
		}
		e.props = props{normal: vector.XYZ{Z: 1}, ink: ink{rgb: -1}}
		e.info = sink.Entity{At: r.group.at, End: r.group.to}
		name := r.group.val()
		d, ok := decoders[string(name)]
		if ok {
			e.info.What = d.kind
			d.read(e)
			continue
		}
		switch string(name) {
		case "ENDSEC", "ENDBLK", "EOF", "SECTION", "BLOCK":
			return
		}
		readOther(e, string(name))
	}
}

// readOther counts an entity that is not read. If it may be part of the picture, it
// warns.
func readOther(e *entity, what string) {
	for e.next() {
		e.common()
	}
	if e.info.What = what; len(what) > 40 {
		e.info.What = what[:40]
	}
	why, known := skipped[e.info.What]
	if !known {
		why = isUnknown
	}
	e.bad = false
	if !e.wanted() {
		return
	}
	e.r.out.Count(&e.info, why)
	if !known {
		e.warnOnce(problem.NotRead, e.info.What, problem.Advise("turn it into polylines in the drawing program if it belongs to the picture"),
			"%s is not read, so it will not be painted", e.info.What)
	}
}

// entity is the entity that is being read.
type entity struct {
	r *reader
	props
	info    sink.Entity
	plane   affine.Map
	scratch scratch
}

// props holds the properties that every entity may have.
type props struct {
	layer  []byte
	paper  bool
	hidden bool
	bad    bool       // it cannot be read
	normal vector.XYZ // extrusion direction
	ink    ink
}

// scratch is memory that every entity reuses.
type scratch struct {
	line     flatten.Line
	arc      flatten.Arc
	ellipse  flatten.Ellipse
	polyline flatten.Polyline
	spline   flatten.Spline
	fit      flatten.Interpolation
}

// next moves to the entity's next group. It returns false at the entity's end.
func (e *entity) next() bool {
	if !e.r.group.next() {
		e.r.atNextEntity = false
		return false
	}
	if e.r.group.code == 0 {
		e.r.atNextEntity = true
		return false
	}
	return true
}

func (e *entity) skip() {
	for e.next() {
	}
}

// common reads the current group if it is one that every entity may have.
func (e *entity) common() {
	switch e.r.group.code {
	case 8:
		e.layer = e.r.group.val()
	case 67:
		n, _ := e.r.group.integer()
		e.paper = n == 1
	case 60:
		n, _ := e.r.group.integer()
		e.hidden = n == 1
	case 62, 420, 440:
		e.ink.group(e.r.group)
	case 210:
		e.normal.X = e.num()
	case 220:
		e.normal.Y = e.num()
	case 230:
		e.normal.Z = e.num()
	}
}

// point reads the current group as a coordinate of a point whose groups are code, code
// + 10 and code + 20.
func (e *entity) point(p *vector.XYZ, code int) {
	switch e.r.group.code - code {
	case 0:
		p.X = e.num()
	case 10:
		p.Y = e.num()
	case 20:
		p.Z = e.num()
	}
}

// num is the current value as a number. A value that is not a finite number is
// reported and makes the entity bad.
func (e *entity) num() float64 {
	v, ok := e.r.group.number()
	if !ok {
		e.badValue("a number")
	}
	return v
}

func (e *entity) whole() int {
	n, ok := e.r.group.integer()
	if !ok {
		e.badValue("a whole number")
	}
	return n
}

func (e *entity) badValue(want string) {
	e.bad = true
	m := sink.Message{Code: problem.BadValue, At: e.r.group.at, End: e.r.group.at + len(e.r.group.val()), Asked: e.info.Asked, Element: true,
		Fix:    problem.Advise("write a plain decimal number with a point, or save the drawing again as DXF"),
		Format: "%q is not %s (group %d)", Args: []any{clip(e.r.group.val()), want, e.r.group.code}}
	if e.r.group.isBinary() {
		m.End, m.Fix = e.r.group.pos, problem.Advise("save the drawing again as DXF")
		m.Format, m.Args = "group %d here must be %s", []any{e.r.group.code, want}
	}
	e.r.out.Say(m)
}

// fail reports what is wrong with the entity as a whole.
func (e *entity) fail(code problem.Code, fix problem.Fix, format string, args ...any) {
	e.bad = true
	e.r.out.Say(sink.Message{Code: code, At: e.info.At, End: e.info.End, Fix: fix, Format: format, Args: args, Asked: e.info.Asked, Element: true})
}

// stop is like fail, and the rest of the file is not read.
func (e *entity) stop(code problem.Code, fix problem.Fix, format string, args ...any) {
	e.bad = true
	e.r.stopf(code, e.info.At, e.info.End, fix, format, args...)
}

// warnOnce warns of the first of many similar problems.
func (e *entity) warnOnce(code problem.Code, about string, fix problem.Fix, format string, args ...any) {
	e.r.out.Say(sink.Message{Severity: problem.Warning, Code: code, Once: true, About: about,
		At: e.info.At, End: e.info.End, Fix: fix, Format: format, Args: args, Asked: e.info.Asked})
}

// unannounced is the value of a count that the file does not state.
const unannounced = -1 << 31

// counted checks a count that the entity states in a group.
func (e *entity) counted(announced, found int, what string, code int) bool {
	if announced == unannounced || announced == found {
		return true
	}
	e.fail(problem.BadCount, problem.Advise(damagedFix), "this %s states %d %s (group %d) but has %d", e.info.What, announced, what, code, found)
	return false
}

// maxParts bounds vertices, knots and control points of one entity.
const maxParts = 3_000_000

// tooLong refuses an entity with very many parts.
func (e *entity) tooLong(parts int) bool {
	if parts <= maxParts {
		return false
	}
	e.stop(problem.TooLarge, problem.Advise("split it, or simplify it"), "this entity has more than %d vertices, knots or control points", maxParts)
	return true
}

// layerOf is the layer that the entity counts for: in a copied block, layer 0 is the
// layer of the copy.
func layerOf(e *entity) int32 {
	if zero := len(e.layer) == 0 && e.layer == nil || len(e.layer) == 1 && e.layer[0] == '0'; zero && e.r.copyLayer >= 0 {
		return e.r.copyLayer
	}
	if e.layer == nil {
		return e.r.findLayer([]byte("0"))
	}
	return e.r.findLayer(e.layer)
}

// outside says why the entity does not belong to the picture on any layer, or "".
func outside(e *entity) string {
	switch {
	case e.paper:
		return "in paper space"
	case e.hidden:
		return "marked as invisible"
	}
	return ""
}

// wanted reports whether the entity belongs to the picture. If not, it is counted as
// skipped.
func (e *entity) wanted() bool {
	if e.bad || e.r.out.Stopped() {
		return false
	}
	e.info.Layer = layerOf(e)
	e.info.Paint = paintOf(e)
	if why := outside(e); why != "" {
		e.r.out.Count(&e.info, why)
		return false
	}
	e.info.Asked = true
	return e.r.out.Wanted(&e.info, "")
}

// extruded has the entity's coordinates read in its own plane, the one at right angles
// to its extrusion direction.
func (e *entity) extruded() bool {
	if e.normal == (vector.XYZ{Z: 1}) {
		return true
	}
	m, ok := objectPlane(e.normal)
	if !ok {
		e.fail(problem.BadValue, problem.Advise(damagedFix), "the extrusion direction (group 210) has no length")
		return false
	}
	e.plane = m
	e.info.Plane = &e.plane
	e.info.Tilted = e.normal.X != 0 || e.normal.Y != 0
	return true
}

// add passes a curve to the sink.
func (e *entity) add(c flatten.Curve, closing sink.Closing) {
	e.r.out.Add(&e.info, sink.Outline{Curve: c, Closing: closing})
}

func closing(closed bool) sink.Closing {
	if closed {
		return sink.Closed
	}
	return sink.Open
}
