package register

import (
	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
	"mahlstick/runner/cutting"
	"mahlstick/runner/vector"
)

// overShare is the share of what is painted from which it is a warning that it lies
// beyond the page of the drawing.
const overShare = 0.002

// overPage warns where shapes reach beyond the page of their drawing: what shows the
// drawing cuts them off there.
//
// Source: SVG 2, "Rendering Model", on 'overflow': what lies outside of the outermost
// picture is hidden.
func overPage(t *task, contours []laid, p *Placement) problem.List {
	var problems problem.List
	d := t.drawing
	if !(d.PageWidth > 0 && d.PageHeight > 0) {
		return nil
	}
	page := vector.Empty()
	for _, q := range []vector.XY{{}, {X: d.PageWidth}, {Y: d.PageHeight}, {X: d.PageWidth, Y: d.PageHeight}} {
		page.Add(p.Apply(q.Minus(t.far)))
	}
	outside, whole := 0.0, 0.0
	for _, c := range contours {
		k := cutting.Contour{Identity: c.Identity, Points: c.exact, Closed: c.Closed, Widths: c.Widths}
		if t.layer.Width != nil && !c.Closed {
			k.Widths = nil
		}
		out, all := k.Outside(page)
		outside, whole = outside+out, whole+all
	}
	if outside > float64(overShare*whole) {
		problems.Warnf(problem.OverPage, t.layer.DrawingPlace, problem.Advise("write page in the column cut to if it should not be painted; ignore this if it should"),
			"%s of the shapes of %s lies beyond its page, where pictures of it do not show it", format.Plain.Share(outside/whole), t.file())
	}
	return problems
}
