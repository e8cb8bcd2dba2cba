package dxf

import (
	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Limits on copies of blocks.
const (
	maxScanned = 256 << 20 // bytes of block definitions read for their copies
	maxCopies  = 1_000_000
	maxDepth   = 32 // blocks inside blocks
)

// insertion is one INSERT: an array of copies of a block.
type insertion struct {
	at, scale           vector.XYZ
	turn                float64 // degrees
	columnStep, rowStep float64
	columns, rows       int
}

// readInsert reads INSERT and draws the copies of its block.
func readInsert(e *entity) {
	in := insertion{scale: vector.XYZ{X: 1, Y: 1, Z: 1}, columns: 1, rows: 1}
	var raw []byte
	dictionary, extended := "", false
	for e.next() {
		switch e.r.group.code {
		case 102:
			extended = e.r.group.is("{ACAD_XDICTIONARY")
		case 360:
			if extended {
				dictionary = string(e.r.group.val())
			}
		case 2:
			raw = e.r.group.val()
		case 10, 20, 30:
			e.point(&in.at, 10)
		case 41:
			in.scale.X = e.num()
		case 42:
			in.scale.Y = e.num()
		case 43:
			in.scale.Z = e.num()
		case 50:
			in.turn = e.num()
		case 44:
			in.columnStep = e.num()
		case 45:
			in.rowStep = e.num()
		case 70:
			in.columns = e.whole()
		case 71:
			in.rows = e.whole()
		default:
			e.common()
		}
	}
	if e.bad || e.r.out.Stopped() {
		return
	}
	e.info.Layer = layerOf(e)
	e.info.Paint = paintOf(e)
	why := outside(e)
	if why == "" && e.r.layers.frozen[e.info.Layer] {
		// A frozen layer hides the whole copy; a layer that is off hides only what is
		// on layer 0 in it.
		why = "its layer is frozen"
	}
	if why != "" {
		e.r.out.Count(&e.info, why)
		return
	}
	if b := blockToCopy(e, e.r.names.text(raw), &in); b != nil && e.extruded() {
		e.r.out.Count(&e.info, "")
		copyArray(e, b, &in, e.r.clipOf(dictionary))
	}
}

// blockToCopy finds the block of an INSERT, or reports why it cannot be copied.
func blockToCopy(e *entity, name string, in *insertion) *block {
	b, ok := e.r.blocks[drawing.FoldName(name)]
	switch {
	case !ok:
		e.fail(problem.NoSuchBlock, problem.Advise("save the drawing again, with its blocks"), "there is no block %q to copy here", name)
		return nil
	case b.external:
		e.r.out.Count(&e.info, "in another file")
		e.warnOnce(problem.NotRead, "external", problem.Advise("put its content into the drawing itself if it belongs to the picture"),
			"block %q is in another file; only the drawing itself is read, so it will not be painted", name)
		return nil
	case b.busy:
		e.fail(problem.BlockInItself, problem.Advise("take it out of itself, or explode it"), "block %q holds a copy of itself", name)
		return nil
	case e.r.depth >= maxDepth:
		e.stop(problem.TooDeep, problem.Advise("explode some of the blocks"), "blocks are nested more than %d deep", maxDepth)
		return nil
	case in.columns < 0 || in.rows < 0:
		e.fail(problem.BadCount, problem.Advise("draw the array again"), "an array cannot have %d columns and %d rows", in.columns, in.rows)
		return nil
	}
	in.columns, in.rows = max(in.columns, 1), max(in.rows, 1)
	if in.columns > maxCopies || in.rows > maxCopies || in.columns > (maxCopies-e.r.copies)/in.rows {
		e.stop(problem.TooLarge, problem.Advise("make the array smaller"),
			"the drawing asks for more than %d copies of blocks (here %d columns and %d rows)", maxCopies, in.columns, in.rows)
		return nil
	}
	return b
}

// copyArray draws all copies of a block, cut off at a clip if that is not nil.
func copyArray(e *entity, b *block, in *insertion, clip *blockClip) {
	groups, layer, paint := e.r.out.Groups(), e.info.Layer, e.info.Paint
	groups.Enter(sink.Group{})
	defer groups.Leave()
	if e.info.Plane != nil {
		groups.Transform(e.info.Plane)
	}
	sin, cos := arith.SinCosDegrees(in.turn)
	if clip != nil && !clip.off {
		first := in.place(sin, cos, 0, 0, b)
		clip.enter(e, b.name, &first)
	}
	for row := range in.rows {
		for column := range in.columns {
			if e.r.out.Stopped() {
				return
			}
			place := in.place(sin, cos, float64(float64(column)*in.columnStep), float64(float64(row)*in.rowStep), b)
			groups.Enter(sink.Group{})
			groups.Transform(&place)
			copyBlock(e, b, layer, paint)
			groups.Leave()
		}
	}
}

// place is from a block to the copy of it that lies x, y from the first.
func (in *insertion) place(sin, cos, x, y float64, b *block) affine.Map {
	place := affine.Map{
		XX: float64(cos * in.scale.X), XY: -float64(sin * in.scale.Y),
		YX: float64(sin * in.scale.X), YY: float64(cos * in.scale.Y),
		ZZ: in.scale.Z,
		TX: in.at.X + float64(cos*x) - float64(sin*y),
		TY: in.at.Y + float64(sin*x) + float64(cos*y),
		TZ: in.at.Z,
	}
	shift := affine.Shift(-b.base.X, -b.base.Y, -b.base.Z)
	return place.After(&shift)
}

// copyBlock draws a block's entities. Those on layer 0 count for the layer of the
// copy, and those whose colour is that of their block have the copy's.
func copyBlock(e *entity, b *block, layer int32, paint contour.Paint) {
	r := e.r
	r.copies++
	r.scannedBytes += b.end - b.start
	if r.scannedBytes > maxScanned {
		e.stop(problem.TooLarge, problem.Advise("explode the blocks, or use fewer copies"),
			"the copies of blocks in this drawing are more than can be read (%d MB of entities)", maxScanned>>20)
		return
	}
	g, inherit, inheritPaint, more, props, info, plane := r.group, r.copyLayer, r.copyPaint, r.atNextEntity, e.props, e.info, e.plane
	r.group, r.copyLayer, r.copyPaint = r.group.within(b.start, b.end), layer, paint
	b.busy = true
	r.depth++
	r.allEntities()
	r.depth--
	b.busy = false
	r.group, r.copyLayer, r.copyPaint, r.atNextEntity, e.props, e.info, e.plane = g, inherit, inheritPaint, more, props, info, plane
}
