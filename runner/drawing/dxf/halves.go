package dxf

import (
	"bytes"

	"mahlstick/runner/drawing/sink"
)

// readEntities reads the entities of the section; in large files it reads the second
// half at the same time. The result and every message are the same: the second half
// counts only if it had no problem and the first half ends exactly where it begins.
// Otherwise it is discarded and reading continues after the first half.
func (r *reader) readEntities() {
	out, ok := r.out.(sink.Splitter)
	code, name, found := findMiddle(r)
	if !ok || !found {
		r.allEntities()
		return
	}
	half := forkReader(r, code, out.Fork())
	done := make(chan struct{})
	go func() {
		defer close(done)
		half.allEntities()
	}()
	r.stopAt = name
	r.allEntities()
	r.stopAt = 0
	<-done
	if met := r.atNextEntity && !out.Stopped() && r.group.code == 0 && r.group.at == name; !met || !joinHalves(r, half, out) {
		r.furtherEntities()
	}
}

// findMiddle finds an entity near the middle of the rest of the file: the offsets of
// its group code and of its name. In a sound file, a line 0 before a line with an
// entity's name always begins an entity.
func findMiddle(r *reader) (code, name int, ok bool) {
	data := r.group.data
	if r.group.form != textLF || r.depth > 0 || len(data)-r.group.pos < r.opt.SplitFrom || r.opt.Workers < 2 {
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
	_, _, p := line(r.group.pos + (len(data)-r.group.pos)/2)
	for end := min(len(data), p+r.opt.SplitFrom+1<<16); p < end; {
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

// forkReader is an independent reader that continues at a group.
func forkReader(r *reader, at int, out sink.Splitter) *reader {
	f := newReader(r.file, out, r.opt)
	for name, b := range r.blocks {
		own := *b
		f.blocks[name] = &own
	}
	g := *r.group
	g.pos = at
	f.group = &g
	f.names, f.unitSettled, f.layers.frozen, f.layers.paint = r.names, true, r.layers.frozen, r.layers.paint
	return f
}

// joinHalves adds what a second half has read. It returns false and adds nothing if one
// reader would have made something else of the whole.
func joinHalves(r *reader, half *reader, out sink.Splitter) bool {
	if !half.atNextEntity || !half.group.is("ENDSEC") || r.copies+half.copies > maxCopies || r.scannedBytes+half.scannedBytes > maxScanned ||
		!out.Join(half.out.(sink.Splitter)) {
		return false
	}
	r.copies, r.scannedBytes = r.copies+half.copies, r.scannedBytes+half.scannedBytes
	r.group, r.atNextEntity = half.group, half.atNextEntity
	r.layers.last = -1
	return true
}
