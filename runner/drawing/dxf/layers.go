package dxf

import (
	"bytes"

	"mahlstick/runner/contour"
	"mahlstick/runner/drawing/sink"
)

// layerCache finds layers by their names as written in the file.
type layerCache struct {
	byRaw  map[string]int32
	frozen map[int32]bool
	paint  map[int32]contour.Paint
	raw    []byte // the last one that was looked for
	last   int32  // its number, or -1
}

func newLayerCache() layerCache {
	return layerCache{byRaw: map[string]int32{}, frozen: map[int32]bool{}, paint: map[int32]contour.Paint{}, last: -1}
}

// layerEntry reads one entry of the layer table and stops at the next group 0.
//
// Source: DXF Reference, LAYER: 62 is negative where the layer is off; bit 1
// of 70 says that it is frozen, 290 with 0 that it is not plotted.
func (r *reader) layerEntry() bool {
	l := sink.LayerState{At: r.group.at, End: r.group.to}
	var raw []byte
	ink := ink{rgb: -1}
	var more bool
	for {
		if more = r.group.next(); !more || r.group.code == 0 {
			break
		}
		switch r.group.code {
		case 2:
			raw = r.group.val()
		case 62:
			n, _ := r.group.integer()
			l.Off = n < 0
			ink.index, ink.indexed = max(n, -n), true
		case 420, 440:
			ink.group(r.group)
		case 70:
			n, _ := r.group.integer()
			l.Frozen = n&1 != 0
		case 290:
			n, ok := r.group.integer()
			l.NoPlots = ok && n == 0
		}
	}
	if raw != nil {
		l.Name = r.names.text(raw)
		n := r.out.Layer(l.Name)
		r.out.Declare(n, l)
		r.layers.frozen[n] = l.Frozen
		if p, stated := ink.own(); stated {
			r.layers.paint[n] = p
		}
	}
	return more
}

// findLayer finds the layer with a name as written in the file.
func (r *reader) findLayer(raw []byte) int32 {
	c := &r.layers
	if c.last >= 0 && bytes.Equal(raw, c.raw) {
		return c.last
	}
	n, ok := c.byRaw[string(raw)]
	if !ok {
		n = r.out.Layer(r.names.text(raw))
		c.byRaw[string(raw)] = n
	}
	c.raw, c.last = raw, n
	return n
}
