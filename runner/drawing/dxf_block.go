package drawing

import (
	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
)

// block is a group of entities that is drawn wherever an INSERT copies it.
type block struct {
	name       string
	base       xyz
	external   bool // it stands in another file
	start, end int  // the bytes of its entities, ENDBLK included
	busy       bool // it is being copied
}

// readBlocks notes where each block's entities stand. They are read when they are
// copied.
func (d *dxf) readBlocks() bool {
	if !d.g.next() {
		return false
	}
	for {
		if d.g.code == 0 && d.g.is("ENDSEC") {
			return true
		}
		if d.g.code == 0 && d.g.is("BLOCK") {
			if !d.blockEntry() {
				return false
			}
			continue
		}
		if !d.g.next() {
			return false
		}
	}
}

// blockEntry reads one block up to and with ENDBLK.
func (d *dxf) blockEntry() bool {
	b := &block{}
	d.p = props{}
	for d.field() {
		switch d.g.code {
		case 2:
			b.name = d.names.text(d.g.val())
		case 70:
			n, _ := d.g.integer()
			b.external = n&(4|8) != 0
		case 10:
			b.base.x = d.num()
		case 20:
			b.base.y = d.num()
		case 30:
			b.base.z = d.num()
		}
	}
	if !d.more {
		return false
	}
	// The entities begin with the group 0 that is current.
	b.start = d.entityStart()
	for !(d.g.code == 0 && (d.g.is("ENDBLK") || d.g.is("ENDSEC"))) {
		if !d.g.next() {
			return false
		}
	}
	if d.g.is("ENDSEC") {
		d.stop(problem.DamagedDrawing, d.g.at, d.g.to, problem.Advise(damagedFix), "block %q has no end (ENDBLK)", b.name)
		return false
	}
	b.end = d.g.pos
	d.blocks[foldName(b.name)] = b
	return true
}

// entityStart is the offset of the current group's code, as it begins an
// entity.
func (d *dxf) entityStart() int {
	if d.g.isBinary() {
		if d.g.form == binaryWord {
			return d.g.at - 2
		}
		return d.g.at - 1
	}
	// Back over the end of the line before the value, then over the code.
	data, p := d.g.data, d.g.at
	for p > 0 && data[p-1] != '\n' && data[p-1] != '\r' {
		p--
	}
	p--
	if p > 0 && data[p] == '\n' && data[p-1] == '\r' {
		p--
	}
	for p > 0 && data[p-1] != '\n' && data[p-1] != '\r' {
		p--
	}
	return p
}

// insert reads INSERT and draws the copies of its block.
func (d *dxf) insert() {
	var at xyz
	scale := xyz{1, 1, 1}
	var turn, columnStep, rowStep float64
	columns, rows := 1, 1
	var raw []byte
	for d.field() {
		switch d.g.code {
		case 2:
			raw = d.g.val()
		case 10:
			at.x = d.num()
		case 20:
			at.y = d.num()
		case 30:
			at.z = d.num()
		case 41:
			scale.x = d.num()
		case 42:
			scale.y = d.num()
		case 43:
			scale.z = d.num()
		case 50:
			turn = d.num()
		case 44:
			columnStep = d.num()
		case 45:
			rowStep = d.num()
		case 70:
			columns = d.whole()
		case 71:
			rows = d.whole()
		default:
			d.common()
		}
	}
	if d.p.bad || d.stopped {
		return
	}
	layer := d.effective()
	why := ""
	switch {
	case d.p.paper:
		why = "in paper space"
	case d.p.hidden:
		why = "marked as invisible"
	case d.layers[layer].frozen:
		// Freezing hides all of a copy, switching off only what is on layer 0.
		why = "its layer is frozen"
	}
	if why != "" {
		d.count("INSERT", layer, why, d.p.at, d.p.end)
		return
	}
	name := d.names.text(raw)
	b, ok := d.blocks[foldName(name)]
	switch {
	case !ok:
		d.spoiled(problem.NoSuchBlock, problem.Advise("save the drawing again, with its blocks"), "there is no block %q to copy here", name)
		return
	case b.external:
		d.count("INSERT", layer, "stands in another file", d.p.at, d.p.end)
		d.warnOnce(problem.NotRead, "external", d.p.at, d.p.end, problem.Advise("bind it into the drawing if it belongs to the picture"),
			"block %q stands in another file; only the drawing itself is read, so it will not be painted", name)
		return
	case b.busy:
		d.spoiled(problem.BlockInItself, problem.Advise("take it out of itself, or explode it"), "block %q holds a copy of itself", name)
		return
	case d.depth >= maxDepth:
		d.stop(problem.TooDeep, d.p.at, d.p.end, problem.Advise("explode some of the blocks"), "blocks are nested more than %d deep", maxDepth)
		return
	case columns < 0 || rows < 0:
		d.spoiled(problem.BadCount, problem.Advise("draw the array again"), "an array of %d columns and %d rows cannot be", columns, rows)
		return
	}
	columns, rows = max(columns, 1), max(rows, 1)
	if columns > maxCopies || rows > maxCopies || d.copies+columns*rows > maxCopies {
		d.stop(problem.TooLarge, d.p.at, d.p.end, problem.Advise("make the array smaller"),
			"the drawing asks for more than %d copies of blocks (here %d columns and %d rows)", maxCopies, columns, rows)
		return
	}
	m, ok := d.objectMap()
	if !ok {
		return
	}
	d.count("INSERT", layer, "", d.p.at, d.p.end)
	sin, cos := arith.SinCosDegrees(turn)
	for row := 0; row < rows && !d.stopped; row++ {
		for column := 0; column < columns && !d.stopped; column++ {
			x, y := float64(float64(column)*columnStep), float64(float64(row)*rowStep)
			place := xform{
				xx: float64(cos * scale.x), xy: -float64(sin * scale.y),
				yx: float64(sin * scale.x), yy: float64(cos * scale.y),
				zz: scale.z,
				tx: at.x + float64(cos*x) - float64(sin*y),
				ty: at.y + float64(sin*x) + float64(cos*y),
				tz: at.z,
			}
			shift := xform{xx: 1, yy: 1, zz: 1, tx: -b.base.x, ty: -b.base.y, tz: -b.base.z}
			place = place.after(&shift)
			d.copyBlock(b, m.after(&place), layer)
		}
	}
}

// copyBlock draws a block's entities through a map. What is on layer 0 in it
// counts as being on the layer of the copy.
func (d *dxf) copyBlock(b *block, m xform, layer int32) {
	d.copies++
	d.scanned += b.end - b.start
	if d.scanned > maxScanned {
		d.stop(problem.TooLarge, d.p.at, d.p.end, problem.Advise("explode the blocks, or use fewer copies"),
			"the copies of blocks in this drawing are more than can be read (%d MB of entities)", maxScanned>>20)
		return
	}
	g, p, xf, inherit, more := d.g, d.p, d.xf, d.inherit, d.more
	d.g, d.xf, d.inherit = d.g.within(b.start, b.end), m, layer
	b.busy = true
	d.depth++
	d.entities()
	d.depth--
	b.busy = false
	d.g, d.p, d.xf, d.inherit, d.more = g, p, xf, inherit, more
}
