package register

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
)

// asDrawn turns a line with a width into the shape that it covers in the drawing,
// where its ends or corners are not round and it is no brush stroke: it is wider than
// the brush's mark, or it hides what lies under it and is not painted. Otherwise
// it stays as it is.
func asDrawn(t *task, c laid, painted bool, group *int) []laid {
	if !shownAsShape(t.layer, &c.Contour, painted) {
		return []laid{c}
	}
	rings, ok := cutting.AsDrawn(c.exact, c.Widths[0], c.Closed, c.Look)
	if !ok {
		return []laid{c}
	}
	*group++
	var out []laid
	for _, ring := range rings {
		k := c
		k.exact, k.Closed, k.Widths, k.Filled = ring, true, nil, true
		k.Rule, k.Group, k.Look = contour.NonZero, *group, contour.Look{}
		out = append(out, k)
	}
	return out
}

func shownAsShape(l *model.Layer, c *Contour, painted bool) bool {
	if len(c.Widths) < 2 || c.Look.Round() || slices.Min(c.Widths) != slices.Max(c.Widths) {
		return false
	}
	if !painted {
		return true
	}
	if l.Width != nil || l.Brush == nil || l.Brush.Curve == nil {
		return false // the width of the layer comes before those of the drawing
	}
	_, widest := l.Brush.Curve.Range()
	return c.Widths[0] > widest+l.Tolerance
}

func greatestGroup(list []drawing.Contour) int {
	greatest := 0
	for i := range list {
		greatest = max(greatest, list[i].Group)
	}
	return greatest
}
