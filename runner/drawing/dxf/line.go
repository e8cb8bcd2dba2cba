package dxf

import (
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
)

// readLine reads LINE: its ends in world coordinates.
func readLine(e *entity) {
	l := &e.scratch.line
	*l = flatten.Line{}
	for e.next() {
		switch e.r.group.code {
		case 10, 20, 30:
			e.point(&l.From, 10)
		case 11, 21, 31:
			e.point(&l.To, 11)
		default:
			e.common()
		}
	}
	if e.wanted() {
		e.add(l, sink.Open)
	}
}
