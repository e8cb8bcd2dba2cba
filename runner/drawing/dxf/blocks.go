package dxf

import (
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// block is a group of entities that is drawn wherever an INSERT copies it.
type block struct {
	name       string
	base       vector.XYZ
	external   bool // it is in another file
	start, end int  // the bytes of its entities, ENDBLK included
	busy       bool // it is being copied
}

// readBlocks notes where each block's entities are. They are read when they are
// copied.
func (r *reader) readBlocks() bool {
	if !r.group.next() {
		return false
	}
	for {
		if r.group.code == 0 && r.group.is("ENDSEC") {
			return true
		}
		if r.group.code == 0 && r.group.is("BLOCK") {
			if !r.blockEntry() {
				return false
			}
			continue
		}
		if !r.group.next() {
			return false
		}
	}
}

// blockEntry reads one block, including its ENDBLK.
func (r *reader) blockEntry() bool {
	b, e := &block{}, &r.entities
	e.props = props{}
	for e.next() {
		switch e.r.group.code {
		case 2:
			b.name = r.names.text(e.r.group.val())
		case 70:
			n, _ := e.r.group.integer()
			b.external = n&(4|8) != 0
		case 10, 20, 30:
			e.point(&b.base, 10)
		}
	}
	if !r.atNextEntity {
		return false
	}
	// The entities begin with the group 0 that is current.
	b.start = entityStart(r.group)
	for !(r.group.code == 0 && (r.group.is("ENDBLK") || r.group.is("ENDSEC"))) {
		if !r.group.next() {
			return false
		}
	}
	if r.group.is("ENDSEC") {
		r.stopf(problem.DamagedDrawing, r.group.at, r.group.to, problem.Advise(damagedFix), "block %q has no end (ENDBLK)", b.name)
		return false
	}
	b.end = r.group.pos
	r.blocks[drawing.FoldName(b.name)] = b
	return true
}

// entityStart is the offset of the current group's code, which begins an entity.
func entityStart(g *groups) int {
	if g.isBinary() {
		if g.form == binaryWord {
			return g.at - 2
		}
		return g.at - 1
	}
	// Back over the end of the line before the value, then over the code.
	data, p := g.data, g.at
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
