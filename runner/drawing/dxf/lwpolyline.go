package dxf

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// readLightPolyline reads LWPOLYLINE.
func readLightPolyline(e *entity) {
	corners := e.scratch.polyline.Corners[:0]
	var constant, elevation float64
	flags, count, varying := 0, unannounced, false
	for e.next() {
		n := len(corners) - 1
		switch code := e.r.group.code; {
		case code == 10:
			corners = append(corners, flatten.Corner{At: vector.XYZ{X: e.num()}})
		case n >= 0 && isCornerCode(code):
			readCorner(e, &corners[n])
			varying = varying || code == 40 || code == 41
		case code == 43:
			constant = e.num()
		case code == 38:
			elevation = e.num()
		case code == 70:
			flags = e.whole()
		case code == 90:
			count = e.whole()
		default:
			e.common()
		}
		if e.tooLong(len(corners)) {
			return
		}
	}
	e.scratch.polyline.Corners = corners
	if !e.wanted() || !e.counted(count, len(corners), "vertices", 90) {
		return
	}
	for i := range corners {
		corners[i].At.Z = elevation
		if !varying {
			corners[i].From, corners[i].To = constant, constant
		}
	}
	if e.extruded() {
		addPolyline(e, flags&1 != 0)
	}
}

func isCornerCode(code int) bool { return code == 20 || code >= 40 && code <= 42 }

// readCorner reads a group of a vertex, after its x.
func readCorner(e *entity, c *flatten.Corner) {
	switch e.r.group.code {
	case 20:
		c.At.Y = e.num()
	case 40:
		c.From = e.num()
	case 41:
		c.To = e.num()
	case 42:
		c.Bulge = e.num()
	}
}

// checkWidths reports whether the corners' widths are sound, and sets whether the
// polyline has a width.
func checkWidths(e *entity, l *flatten.Polyline) bool {
	l.Wide = false
	for i := range l.Corners {
		c := &l.Corners[i]
		if c.From < 0 || c.To < 0 {
			e.fail(problem.BadValue, problem.Advise("draw it again"), "this polyline has the negative width %s", drawing.Short(min(c.From, c.To)))
			return false
		}
		l.Wide = l.Wide || c.From > 0 || c.To > 0
	}
	if l.Wide && !isEven(e) {
		e.warnOnce(problem.StretchedWidth, "", problem.Advise("give the block the same scale along x and y, or draw the line's outline"),
			"this polyline has a width and is stretched unevenly; its width is read as if stretched evenly")
	}
	return true
}

// isEven reports whether the entity is stretched equally in all directions.
func isEven(e *entity) bool {
	m := *e.r.out.Groups().Map()
	if e.info.Plane != nil {
		m = m.After(e.info.Plane)
	}
	return m.Even()
}

// addPolyline passes the corners that were read to the sink.
func addPolyline(e *entity, closed bool) {
	l := &e.scratch.polyline
	l.Closed = closed
	if checkWidths(e, l) {
		e.r.out.Add(&e.info, sink.Outline{Curve: l, Closing: closing(closed), Look: lookOf(l)})
	}
}

// pointedReach is how far the tip of a corner may lie from the corner of the centre line, in
// half widths. DXF states no limit; this is the usual one of SVG 2, from memory.
const pointedReach = 4

// lookOf is how a polyline with widths is drawn: its segments end flat and are mitred
// where they meet. DXF states it nowhere; common practice, no source. One
// that comes back to its start has no ends there.
func lookOf(l *flatten.Polyline) contour.Look {
	if !l.Wide {
		return contour.Look{}
	}
	look := contour.Look{Ends: contour.FlatEnds, Corners: contour.PointedCorners, Reach: pointedReach}
	if n := len(l.Corners); n > 2 && l.Corners[0].At == l.Corners[n-1].At {
		look.Ends = contour.RoundEnds
	}
	return look
}
