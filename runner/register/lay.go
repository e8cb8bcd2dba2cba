package register

import (
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// laid is a contour on the sheet before it is rounded to the grid.
type laid struct {
	Contour
	exact []vector.XY // mm
	layer string      // its drawing layer
	clips []*drawing.Clip
}

// lay places on the sheet the contours that are to be painted.
func lay(t *task, found []square, p *Placement) ([]Contour, problem.List) {
	isMark, problems := marksOut(t, found)
	p.MarksOut = len(isMark)
	contours, faults := contoursOf(t, isMark, p)
	problems = append(problems, faults...)
	contours, faults = cut(t, contours, p)
	problems = append(problems, faults...)
	if faults.HasErrors() {
		return nil, problems
	}
	if len(contours) == 0 {
		problems.Errorf(problem.NothingToPaint, t.layer.DrawingPlace, problem.Advise("draw the layer's shapes, or name the drawing layer they are on"),
			"%s has nothing to paint besides its marks", t.file())
		return nil, problems
	}
	problems = append(problems, checkMargins(t, contours, p)...)
	if problems.HasErrors() {
		return nil, problems
	}
	out := make([]Contour, len(contours))
	for i, c := range contours {
		out[i] = onGrid(c)
	}
	return out, problems
}

// contoursOf are the contours that are to be painted, on the sheet and not yet cut.
// It adds to the placement what covers them.
func contoursOf(t *task, isMark map[int]bool, p *Placement) (contours []laid, problems problem.List) {
	group := greatestGroup(t.drawing.Contours)
	for i, c := range t.drawing.Contours {
		if isMark[i] || !t.paints(c) && !t.covers(c) {
			continue
		}
		exact := make([]vector.XY, len(c.Points))
		for k, q := range c.Points {
			exact[k] = p.Apply(q)
		}
		identity := c.Identity
		identity.Shape = len(contours)
		identity.Look.Stretch = identity.Look.Stretch.Turned(p.Cos, p.Sin)
		parts, faults := asDrawn(t, laid{Contour{Identity: identity, Closed: c.Closed, Widths: c.Widths}, exact, c.Layer, c.Clips}, t.paints(c), &group)
		if !slices.ContainsFunc(problems, func(q problem.Problem) bool { return q.Code == problem.StretchedWidth }) {
			problems = append(problems, faults...) // the first of many
		}
		for _, k := range parts {
			if !t.paints(c) {
				p.Covers = append(p.Covers, Cover{Contour: onGrid(k), Layer: c.Layer})
				continue
			}
			k.Shape = len(contours)
			contours = append(contours, k)
		}
	}
	return contours, problems
}

// onGrid rounds a contour to the grid.
func onGrid(c laid) Contour {
	out := c.Contour
	out.Points = make([]plane.Point, len(c.exact))
	for k, q := range c.exact {
		out.Points[k] = plane.At(q.X, q.Y)
	}
	return out
}

// marksOut returns the contours, by index, that are marks or lie wholly inside
// one, such as a cross. Those inside are reported.
func marksOut(t *task, found []square) (map[int]bool, problem.List) {
	isMark := map[int]bool{}
	for _, s := range found {
		for _, c := range s.contours {
			isMark[c] = true
		}
	}
	inside := 0
	var first source.Place
	for i, c := range t.drawing.Contours {
		for _, s := range found {
			if !isMark[i] && t.paints(c) && s.holds(c.Points) {
				isMark[i] = true
				if inside++; inside == 1 {
					first = c.Place
				}
			}
		}
	}
	var problems problem.List
	if inside > 0 {
		problems.Warnf(problem.InsideMark, first, problem.Advise("draw nothing that is to be painted inside a register mark"),
			"%d %s inside a register mark, %s taken for a part of it, and not painted",
			inside, plural(inside, "contour lies", "contours lie"), plural(inside, "is", "are"))
	}
	return isMark, problems
}
