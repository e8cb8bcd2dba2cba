package dxf

import (
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/flatten"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// readWipeout reads WIPEOUT: an area of bare paper, which hides what lies under it.
// It is written as a picture is: an insertion point, the vectors of a pixel, the size in
// pixels, and a boundary in pixels, downwards from the middle of the upper left pixel.
//
// Source: DXF Reference, "WIPEOUT", "IMAGE".
func readWipeout(e *entity) {
	var at, across, up vector.XYZ
	width, height := 1.0, 1.0
	var boundary []vector.XY
	for e.next() {
		switch e.r.group.code {
		case 10, 20, 30:
			e.point(&at, 10)
		case 11, 21, 31:
			e.point(&across, 11)
		case 12, 22, 32:
			e.point(&up, 12)
		case 13:
			width = e.num()
		case 23:
			height = e.num()
		case 14:
			boundary = append(boundary, vector.XY{X: e.num()})
		case 24:
			if n := len(boundary); n > 0 {
				boundary[n-1].Y = e.num()
			}
		default:
			e.common()
		}
		if e.tooLong(len(boundary)) {
			return
		}
	}
	if !e.wanted() {
		return
	}
	switch len(boundary) {
	case 0:
		boundary = []vector.XY{{X: -0.5, Y: -0.5}, {X: width - 0.5, Y: height - 0.5}}
		fallthrough
	case 2:
		a, b := boundary[0], boundary[1]
		boundary = []vector.XY{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}
	}
	l := &e.scratch.polyline
	*l = flatten.Polyline{Corners: l.Corners[:0], Closed: true}
	for _, p := range boundary {
		x, y := p.X+0.5, height-0.5-p.Y
		l.Corners = append(l.Corners, flatten.Corner{At: vector.XYZ{
			X: at.X + (float64(across.X*x) + float64(up.X*y)),
			Y: at.Y + (float64(across.Y*x) + float64(up.Y*y)),
			Z: at.Z + (float64(across.Z*x) + float64(up.Z*y)),
		}})
	}
	e.info.Filled = true
	e.info.Paint = contour.Paint{Kind: contour.Bare}
	e.add(l, sink.Closed)
}
