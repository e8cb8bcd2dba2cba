package register

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/contour"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
)

// asDrawn turns a line with a width into the shape that it covers in the drawing,
// where it is no brush stroke. That is so where it is stretched unevenly, and where its
// ends or corners are not round and it is wider than the brush's mark, or hides what
// lies under it and is not painted. Otherwise it stays as it is.
func asDrawn(t *task, c laid, painted bool, group *int) ([]laid, problem.List) {
	if !shownAsShape(t.layer, &c.Contour, painted) {
		return []laid{c}, nil
	}
	rings, ok := cutting.AsDrawn(c.exact, c.Widths[0], c.Closed, c.Look)
	if !ok {
		var problems problem.List
		if !c.Look.Stretch.None() {
			c.Look.Stretch = contour.Stretch{}
			problems.Warnf(problem.StretchedWidth, c.Place, problem.Advise("draw it again with fewer edges, or turn it into a shape"),
				"this line is stretched unevenly, and is too thin or crosses itself too often to be painted as a shape; its width is read as if stretched evenly")
		}
		return []laid{c}, problems
	}
	*group++
	var out []laid
	for _, ring := range rings {
		k := c
		k.exact, k.Closed, k.Widths, k.Filled = ring, true, nil, true
		k.Rule, k.Group, k.Look = contour.NonZero, *group, contour.Look{}
		out = append(out, k)
	}
	return out, nil
}

func shownAsShape(l *model.Layer, c *Contour, painted bool) bool {
	if len(c.Widths) < 2 || c.Look.Round() || slices.Min(c.Widths) != slices.Max(c.Widths) {
		return false
	}
	if !painted {
		return true
	}
	switch {
	case l.Width != nil:
		return false // it comes before those of the drawing
	case !c.Look.Stretch.None():
		return true
	case l.Brush == nil || l.Brush.Curve == nil:
		return false
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
