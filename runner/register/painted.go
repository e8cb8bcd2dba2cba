package register

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// Painted is a contour that a layer paints, and its points before they were
// rounded to the grid.
type Painted struct {
	Contour
	Exact []vector.XY // mm
}

// PaintedAt is what a layer paints of a drawing whose zero lies at a place on the
// sheet (mm), without offsets and marks, wherever it reaches. Instead of at the
// margins, to which the drawing may yet be fitted, it is cut at the page.
func PaintedAt(d *drawing.Drawing, layer *model.Layer, sheet *model.Sheet, zero vector.XY) []Painted {
	d, far := moveNear(d)
	own := *layer
	if own.CutTo == model.AtMargins {
		if own.CutTo = model.AtClips; d.PageWidth > 0 && d.PageHeight > 0 {
			own.CutTo = model.AtPage
		}
	}
	t := &task{d, &own, nil, sheet, far}
	p := Placement{Cos: 1, DX: zero.X + far.X, DY: zero.Y + far.Y}
	contours, _ := contoursOf(t, nil, &p) // said where it is laid
	if own.CutTo != model.Uncut {
		contours, _ = cut(t, contours, &p)
	}
	out := make([]Painted, len(contours))
	for i, c := range contours {
		out[i] = Painted{onGrid(c), c.exact}
	}
	return out
}
