package dxf

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/flatten"
)

// Bits of group 70 of POLYLINE and of its VERTEX entities.
const (
	polylineClosed    = 1
	polylineSplineFit = 4
	polyline3D        = 8
	polylineMesh      = 16
	polylineFaces     = 64

	vertexSplineFrame = 16
)

// readPolyline reads POLYLINE and the VERTEX entities after it, up to SEQEND.
func readPolyline(e *entity) {
	var width flatten.Corner
	var elevation float64
	flags := 0
	for e.next() {
		switch e.r.group.code {
		case 30:
			elevation = e.num()
		case 40, 41:
			readCorner(e, &width)
		case 70:
			flags = e.whole()
		default:
			e.common()
		}
	}
	if !readVertices(e, flags, width, elevation) || !e.wanted() {
		return
	}
	if flags&(polylineMesh|polylineFaces) != 0 {
		e.r.out.Count(&e.info, "a mesh has no outline")
		e.warnOnce(problem.NotRead, "mesh", problem.Advise("draw its outline if it belongs to the picture"),
			"this POLYLINE is a mesh; it is not read, so it will not be painted")
		return
	}
	if flags&polyline3D != 0 || e.extruded() {
		addPolyline(e, flags&polylineClosed != 0)
	}
}

// readVertices reads the VERTEX entities of a POLYLINE. It returns false if there are
// too many.
func readVertices(e *entity, flags int, width flatten.Corner, elevation float64) bool {
	corners := e.scratch.polyline.Corners[:0]
	for e.r.atNextEntity && e.r.group.is("VERTEX") {
		v := flatten.Corner{From: width.From, To: width.To}
		kind := 0
		for e.next() {
			switch e.r.group.code {
			case 10, 20, 30:
				e.point(&v.At, 10)
			case 40, 41, 42:
				readCorner(e, &v)
			case 70:
				kind = e.whole()
			}
		}
		// A curve fitted to a polyline has vertices of its own; the frame that it was
		// made from is not drawn.
		if flags&polylineSplineFit != 0 && kind&vertexSplineFrame != 0 {
			continue
		}
		if flags&polyline3D == 0 {
			v.At.Z = elevation
		} else {
			v.Bulge = 0
		}
		if corners = append(corners, v); e.tooLong(len(corners)) {
			return false
		}
	}
	e.scratch.polyline.Corners = corners
	return true
}
