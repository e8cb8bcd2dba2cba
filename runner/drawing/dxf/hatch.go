package dxf

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Bits of group 92, and the styles of group 75.
const (
	pathExternal  = 1
	pathPolyline  = 2
	pathOutermost = 16

	styleOutermost = 1
	styleIgnore    = 2
)

// readHatch reads HATCH, and MPOLYGON, which is built like it: the area within
// its boundaries. Boundaries inside others are holes, alternating with depth. With
// style 1 only the outermost two boundaries count, with style 2 only the outer one.
//
// Source: DXF Reference, HATCH, "Boundary Path Data". What a group of a boundary means
// depends on its position, so the groups are read in order.
func readHatch(e *entity) {
	h := hatch{e: e, announced: unannounced}
	// Boundaries come before the style that says which of them count.
	for e.next() {
		h.group()
		if e.tooLong(h.parts) {
			return
		}
	}
	h.endBoundary()
	switch {
	case h.announced == unannounced && !e.wanted(), e.bad, h.unwanted:
		return
	case h.announced != unannounced && len(h.boundaries) != h.announced:
		e.fail(problem.BadCount, problem.Advise(damagedFix), "this %s states %d boundaries (group 91) but has %d", e.info.What, h.announced, len(h.boundaries))
		return
	}
	if !h.solid && e.info.What == "HATCH" {
		e.warnOnce(problem.HatchPattern, "", problem.Advise("fill it with solid colour if that is meant, or draw its lines as lines"),
			"this HATCH has a pattern; its whole area is read, not the lines of the pattern")
	}
	e.info.Filled = true
	e.r.out.Hatch(&e.info, h.counting())
}

// hatch reads the groups of one hatch in order.
type hatch struct {
	e         *entity
	solid     bool
	style     int
	announced int // boundaries
	unwanted  bool
	elevation float64
	parts     int // vertices, edges and values so far

	inside     bool // a boundary
	boundary   hatchBoundary
	edge       hatchEdge
	boundaries []hatchBoundary
}

// hatchBoundary is a boundary of a hatch.
type hatchBoundary struct {
	flags    int
	count    int // vertices or edges, as stated
	polyline *flatten.Polyline
	edges    []flatten.Curve
}

// counting lists the boundaries that bound the area, by the hatch's style.
func (h *hatch) counting() []sink.Boundary {
	external := false // some boundary is marked as the outer one
	for _, b := range h.boundaries {
		external = external || b.flags&pathExternal != 0
	}
	var out []sink.Boundary
	for _, b := range h.boundaries {
		switch {
		case !external, b.flags&pathExternal != 0, h.style != styleOutermost && h.style != styleIgnore,
			h.style == styleOutermost && b.flags&pathOutermost != 0:
			out = append(out, b.shape())
		}
	}
	return out
}

func (b *hatchBoundary) shape() sink.Boundary {
	if b.polyline != nil {
		return sink.Boundary{Whole: b.polyline}
	}
	return sink.Boundary{Edges: b.edges}
}

// group reads the current group.
func (h *hatch) group() {
	e := h.e
	switch {
	case h.unwanted:
	case h.announced == unannounced:
		h.headGroup()
	case e.r.group.code == 92:
		h.endBoundary()
		h.inside = true
		h.boundary = hatchBoundary{flags: e.whole(), count: unannounced}
		if h.boundary.flags&pathPolyline != 0 || e.info.What == "MPOLYGON" {
			h.boundary.polyline = &flatten.Polyline{Closed: true}
		}
	case e.r.group.code == 75 || e.r.group.code == 76:
		h.endBoundary()
		if e.r.group.code == 75 {
			h.style = e.whole()
		}
	case !h.inside: // seeds, pattern lines, gradients
	case e.r.group.code == 93:
		h.boundary.count = e.whole()
	case h.boundary.polyline != nil:
		h.vertexGroup()
	default:
		h.edgeGroup()
	}
}

// headGroup reads a group before the boundaries.
func (h *hatch) headGroup() {
	e := h.e
	switch e.r.group.code {
	case 91:
		h.announced = e.whole()
		h.unwanted = !e.wanted() || !e.extruded()
	case 30:
		h.elevation = e.num()
	case 70:
		h.solid = e.whole() == 1
	default:
		e.common()
	}
}

// vertexGroup reads a group of a boundary that is a polyline.
func (h *hatch) vertexGroup() {
	e, l := h.e, h.boundary.polyline
	n := len(l.Corners) - 1
	switch {
	case e.r.group.code == 10:
		h.parts++
		l.Corners = append(l.Corners, flatten.Corner{At: vector.XYZ{X: e.num(), Z: h.elevation}})
	case n >= 0 && (e.r.group.code == 20 || e.r.group.code == 42):
		readCorner(e, &l.Corners[n])
	}
}

// endBoundary ends the boundary being read, if there is one.
func (h *hatch) endBoundary() {
	if !h.inside {
		return
	}
	h.inside = false
	b := &h.boundary
	found := 0
	if b.polyline != nil {
		found = len(b.polyline.Corners)
		if !h.e.bad {
			checkWidths(h.e, b.polyline)
		}
	} else {
		h.endEdge()
		found = len(b.edges)
	}
	if b.count != unannounced && b.count != found && !h.e.bad {
		h.e.fail(problem.BadCount, problem.Advise(damagedFix), "a boundary of this %s states %d vertices or edges (group 93) but has %d", h.e.info.What, b.count, found)
	}
	h.boundaries = append(h.boundaries, *b)
}
