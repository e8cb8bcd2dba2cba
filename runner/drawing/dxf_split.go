package drawing

import (
	"bytes"
	"maps"
	"runtime"
	"slices"

	"mahlstick/runner/vector"
)

// splitFrom is the size (bytes) of what is left of a file from which on its
// entities are read in two halves at a time.
var splitFrom = 128 << 10

// cores is how many processors there are.
var cores = func() int { return runtime.GOMAXPROCS(0) }

// entitiesInTwo is entities, with the second half read at the same time where
// that pays. What comes out is the same, and so is every message: the second
// half counts only if the first ends where it begins, and it had nothing to
// tell; otherwise the reading goes on as if it had never been.
func (d *dxf) entitiesInTwo() {
	code, name, ok := d.middle()
	if !ok {
		d.entities()
		return
	}
	half := d.fork(code)
	done := make(chan struct{})
	go func() {
		defer close(done)
		half.entities()
	}()
	d.until = name
	d.entities()
	d.until = 0
	<-done
	if met := d.more && !d.stopped && d.g.code == 0 && d.g.at == name; !met || !d.join(half) {
		d.each()
	}
}

// middle finds an entity near the middle of what is left of the file: where its
// group code and its name stand. In a file that is sound a line with 0 before a
// line with an entity's name is nothing else, as a name is no group code.
func (d *dxf) middle() (code, name int, ok bool) {
	data := d.g.data
	if d.g.form != textLF || d.depth > 0 || len(data)-d.g.pos < splitFrom || cores() < 2 {
		return 0, 0, false
	}
	line := func(p int) (text []byte, start, next int) {
		n := bytes.IndexByte(data[p:], '\n')
		if n < 0 {
			return nil, p, len(data)
		}
		text = bytes.TrimLeft(data[p:p+n], " \t")
		return bytes.TrimRight(text, " \t\r"), p + n - len(text), p + n + 1
	}
	_, _, p := line(d.g.pos + (len(data)-d.g.pos)/2)
	for end := min(len(data), p+splitFrom+1<<16); p < end; {
		text, _, next := line(p)
		if len(text) == 1 && text[0] == '0' {
			entity, at, _ := line(next)
			switch string(entity) {
			case "LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE":
				return p, at, true
			}
		}
		p = next
	}
	return 0, 0, false
}

// fork is a reading of its own that goes on at a group.
func (d *dxf) fork(at int) *dxf {
	r := *d.reading
	r.problems, r.told = nil, maps.Clone(d.told)
	r.path, r.widths, r.slab = nil, nil, nil
	r.points, r.scanned, r.copies, r.drawn, r.groups = 0, 0, 0, 0, 0
	r.contours, r.known, r.pieces = make([]Contour, 0, cap(d.contours)/2), make([]known, 0, cap(d.known)/2), nil
	r.layers, r.byName = slices.Clone(d.layers), maps.Clone(d.byName)
	r.counts, r.tally, r.lastKey, r.lastAt = map[countKey]int{}, nil, countKey{}, 0
	r.bounds = vector.Empty()
	blocks := make(map[string]*block, len(d.blocks))
	for name, b := range d.blocks {
		own := *b
		blocks[name] = &own
	}
	g := *d.g
	g.pos = at
	return &dxf{
		reading: &r, g: &g, names: d.names, unitStated: d.unitStated, hint: d.hint,
		blocks: blocks, rawLayers: map[string]int32{}, lastLayer: -1, sawEntities: true,
		xf: d.xf, inherit: d.inherit,
	}
}

// join takes over what a second half has read. It answers false, and takes
// nothing, where both together would not be what one reading makes of them.
func (d *dxf) join(h *dxf) bool {
	switch {
	case h.stopped, len(h.problems) > 0, !h.more, !h.g.is("ENDSEC"),
		d.points+h.points > maxPoints, d.drawn+h.drawn > maxShapes, d.copies+h.copies > maxCopies, d.scanned+h.scanned > maxScanned,
		len(d.layers)+len(h.layers) > maxLayers, len(d.tally)+len(h.tally) > maxTallies:
		return false
	}
	number := make([]int32, len(h.layers))
	for i, l := range h.layers {
		number[i] = d.layerNumber(l.name)
	}
	for _, c := range h.contours {
		if c.Group > 0 {
			c.Group += d.groups
		}
		d.contours = append(d.contours, c)
	}
	for _, k := range h.known {
		k.drawn += d.drawn
		d.known = append(d.known, k)
	}
	for _, p := range h.pieces {
		p.drawn, p.layer = p.drawn+d.drawn, number[p.layer]
		d.pieces = append(d.pieces, p)
	}
	keys := make([]countKey, len(h.tally))
	for key, i := range h.counts {
		keys[i] = key
	}
	for i, c := range h.tally {
		key := keys[i]
		if key.layer >= 0 {
			key.layer = number[key.layer]
		}
		if at, ok := d.counts[key]; ok {
			d.tally[at].N += c.N
			continue
		}
		d.counts[key] = len(d.tally)
		d.tally = append(d.tally, c)
	}
	d.points, d.drawn, d.groups = d.points+h.points, d.drawn+h.drawn, d.groups+h.groups
	d.copies, d.scanned = d.copies+h.copies, d.scanned+h.scanned
	d.bounds = d.bounds.Union(h.bounds)
	d.g, d.more = h.g, h.more
	d.lastKey, d.lastAt, d.lastLayer = countKey{layer: -2}, 0, -1
	return true
}
