package drawing

import "mahlstick/recipe/problem"

// hatchEdge is one edge of a hatch boundary: a run of points (mm) in scratch.
type hatchEdge struct {
	from, to int
	used     bool
}

// hatchPath is a boundary of a hatch while it is read.
type hatchPath struct {
	flags    int
	want     int // vertices or edges announced
	polyline bool
}

// Bits of group 92, and the styles of group 75.
const (
	pathExternal  = 1
	pathPolyline  = 2
	pathOutermost = 16

	styleOutermost = 1
	styleIgnore    = 2
)

// hatch reads HATCH (and MPOLYGON, which is built like it): the area within
// its boundaries. Where boundaries lie inside others the area alternates,
// which is what hatches do; of style 1 only the outermost two boundaries
// count, of style 2 only the outer one.
//
// Source: DXF Reference, HATCH, "Boundary Path Data". The numbers of a
// boundary mean what its position says, so they are read in order.
func (d *dxf) hatch(what string) {
	h := hatchReader{d: d, what: what, paths: unannounced}
	d.corners, d.edgePoints, d.edges = d.corners[:0], d.edgePoints[:0], d.edges[:0]
	start := len(d.contours)
	drawn := d.drawn
	// Boundaries come before the style that says which of them count, so all
	// are taken in and some taken out again.
	for d.field() {
		h.group()
		if d.tooLong(len(d.corners) + len(d.edges) + len(d.control) + len(d.knots) + len(d.weights)) {
			return
		}
	}
	h.endPath()
	layer, ok := d.wanted(what)
	if ok && h.paths != unannounced && h.found != h.paths {
		d.spoiled(problem.BadCount, problem.Advise(damagedFix), "this %s announces %d boundaries (group 91) and has %d", what, h.paths, h.found)
		ok = false
	}
	if !ok || d.stopped {
		d.contours, d.known, d.drawn = d.contours[:start], d.known[:start], drawn
		return
	}
	if !h.solid && what == "HATCH" {
		d.warnOnce(problem.HatchPattern, "", d.p.at, d.p.end, problem.Advise("fill it with solid colour if that is meant, or draw its lines as lines"),
			"this HATCH has a pattern; its whole area is read, not the lines of the pattern")
	}
	d.count(what, layer, "", d.p.at, d.p.end)
	kept := start
	for i := start; i < len(d.contours); i++ {
		if h.counts(h.loops[i-start]) {
			d.contours[kept], d.known[kept] = d.contours[i], d.known[i]
			kept++
		}
	}
	d.contours, d.known = d.contours[:kept], d.known[:kept]
}

// hatchReader reads the groups of one hatch in order.
type hatchReader struct {
	d     *dxf
	what  string
	solid bool
	style int
	paths int // boundaries announced
	found int

	skip      bool // it is not wanted
	mapped    bool
	m         xform
	elevation float64

	layer    int32
	in       bool // inside a boundary
	path     hatchPath
	edge     hatchEdgeData
	loops    []int // the flags of each contour's boundary
	external bool  // some boundary is said to be the outer one
}

// hatchEdgeData are the values of the edge being read.
type hatchEdgeData struct {
	kind          int // 1 line, 2 arc, 3 elliptic arc, 4 spline, 0 none
	p, q          xyz
	radius        float64 // or ratio
	start, end    float64
	clockwise     bool
	degree, knots int
	control       int
}

// counts says whether a boundary belongs to the area, by the hatch's style.
func (h *hatchReader) counts(flags int) bool {
	switch {
	case !h.external || flags&pathExternal != 0:
		return true
	case h.style == styleOutermost:
		return flags&pathOutermost != 0
	}
	return h.style != styleIgnore
}

func (h *hatchReader) group() {
	d := h.d
	switch {
	case h.skip:
	case d.g.code == 91 && h.paths == unannounced:
		h.paths = d.whole()
		h.layer = d.effective()
		if h.skip = d.unwanted(h.layer) != ""; h.skip {
			h.found = h.paths
			return
		}
		d.begin()
		h.m, h.mapped = d.objectMap()
		d.reading.groups++
	case h.paths == unannounced:
		switch d.g.code {
		case 30:
			h.elevation = d.num()
		case 70:
			h.solid = d.whole() == 1
		default:
			d.common()
		}
	case d.g.code == 92:
		h.endPath()
		flags := d.whole()
		h.in = true
		h.found++
		h.path = hatchPath{flags: flags, want: unannounced, polyline: flags&pathPolyline != 0 || h.what == "MPOLYGON"}
		h.external = h.external || flags&pathExternal != 0
	case d.g.code == 75 || d.g.code == 76:
		h.endPath()
		if d.g.code == 75 {
			h.style = d.whole()
		}
	case !h.in:
		// Seeds, pattern lines, gradients.
	case h.path.polyline:
		h.polylineGroup()
	default:
		h.edgeGroup()
	}
}

func (h *hatchReader) polylineGroup() {
	d := h.d
	n := len(d.corners) - 1
	switch d.g.code {
	case 93:
		h.path.want = d.whole()
	case 10:
		d.corners = append(d.corners, corner{p: xyz{x: d.num(), z: h.elevation}})
	case 20:
		if n >= 0 {
			d.corners[n].p.y = d.num()
		}
	case 42:
		if n >= 0 {
			d.corners[n].bulge = d.num()
		}
	}
}

func (h *hatchReader) edgeGroup() {
	d, e := h.d, &h.edge
	switch d.g.code {
	case 93:
		h.path.want = d.whole()
		return
	case 72:
		h.endEdge()
		*e = hatchEdgeData{kind: d.whole(), knots: unannounced, control: unannounced}
		d.control, d.weights, d.knots = d.control[:0], d.weights[:0], d.knots[:0]
		if e.kind < 1 || e.kind > 4 {
			d.spoiled(problem.BadValue, problem.Advise(damagedFix), "a boundary's edge cannot be of kind %d (group 72)", e.kind)
		}
		return
	}
	if e.kind == 4 {
		h.splineGroup()
		return
	}
	switch d.g.code {
	case 10:
		e.p.x = d.num()
	case 20:
		e.p.y = d.num()
	case 11:
		e.q.x = d.num()
	case 21:
		e.q.y = d.num()
	case 40:
		e.radius = d.num()
	case 50:
		e.start = d.num()
	case 51:
		e.end = d.num()
	case 73:
		e.clockwise = d.whole() == 0
	}
}

func (h *hatchReader) splineGroup() {
	d, e := h.d, &h.edge
	n := len(d.control) - 1
	switch d.g.code {
	case 94:
		e.degree = d.whole()
	case 95:
		e.knots = d.whole()
	case 96:
		e.control = d.whole()
	case 40:
		d.knots = append(d.knots, d.num())
	case 10:
		d.control = append(d.control, xyz{x: d.num(), z: h.elevation})
	case 20:
		if n >= 0 {
			d.control[n].y = d.num()
		}
	case 42:
		d.weights = append(d.weights, d.num())
	}
}
