package dxf

import (
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// readSolid reads SOLID and TRACE: a filled shape of three or four corners, the
// last two of which are in the order of a letter Z. One inside another is no hole.
func readSolid(e *entity) {
	var p [4]vector.XYZ
	fourth := false
	for e.next() {
		c := e.r.group.code
		switch {
		case c >= 10 && c <= 13, c >= 20 && c <= 23, c >= 30 && c <= 33:
			e.point(&p[c%10], 10+c%10)
			fourth = fourth || c == 13
		default:
			e.common()
		}
	}
	if !e.wanted() || !e.extruded() {
		return
	}
	l := &e.scratch.polyline
	*l = flatten.Polyline{Corners: l.Corners[:0], Closed: true}
	for i, k := range [...]int{0, 1, 3, 2} {
		if i != 2 || fourth {
			l.Corners = append(l.Corners, flatten.Corner{At: p[k]})
		}
	}
	e.info.Filled = true
	e.r.out.StartArea()
	e.r.out.Add(&e.info, sink.Outline{Curve: l, Closing: sink.Closed, Rule: contour.NonZero})
}
