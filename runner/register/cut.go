package register

import (
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/cutting"
	"mahlstick/runner/drawing"
	"mahlstick/runner/vector"
)

// cut cuts the contours off where the layer says: at the clips of the drawing,
// at its page, at the margins.
func cut(t *task, contours []laid, p *Placement) ([]laid, problem.List) {
	var problems problem.List
	if t.layer.CutTo == model.Uncut {
		return contours, overPage(t, contours, p)
	}
	var whole *drawing.Clip
	switch d := t.drawing; t.layer.CutTo {
	case model.AtPage:
		if !(d.PageWidth > 0 && d.PageHeight > 0) {
			problems.Errorf(problem.NoPage, t.layer.CutToPlace, problem.Advise("write margins, or leave the column cut to out"), "%s has no page at which it could be cut", t.file())
			return nil, problems
		}
		page := vector.Box{Max: vector.XY{X: d.PageWidth, Y: d.PageHeight}}
		whole = drawing.ClipToBox(page).Map(func(q vector.XY) vector.XY { return p.Apply(q.Minus(t.far)) })
	case model.AtMargins:
		m := t.sheet.Margin + t.layer.Brush.AtMargin()
		whole = drawing.ClipToBox(vector.Box{Min: vector.XY{X: m, Y: m}, Max: vector.XY{X: t.sheet.Width - m, Y: t.sheet.Height - m}})
	}
	list := make([]cutting.Contour, len(contours))
	placed := map[*drawing.Clip]*drawing.Clip{}
	for i, c := range contours {
		list[i] = cutting.Contour{Identity: c.Identity, Points: c.exact, Closed: c.Closed, Widths: c.Widths}
		if t.layer.Width != nil && !c.Closed {
			list[i].Widths = nil // the layer's come first
		}
		p.Clipped = p.Clipped || len(c.clips) > 0
		for _, clip := range c.clips {
			if placed[clip] == nil {
				placed[clip] = clip.Map(p.Apply)
			}
			list[i].Clips = append(list[i].Clips, placed[clip])
		}
		if whole != nil {
			list[i].Clips = append(list[i].Clips, whole)
		}
	}
	result, ok := cutting.Cut(list, cutting.Options{Lines: t.layer.Outlines == model.AsLines, Strokes: t.layer.Inside == model.Strokes, Shorten: t.shorten()})
	if !ok {
		problems.Errorf(problem.ContourTangled, t.layer.CutToPlace, problem.Advise("leave the column cut to out, or cut the shapes in the drawing program"),
			"so many edges of %s cross each other that its shapes cannot be cut", t.file())
		return nil, problems
	}
	p.Cut, p.CutAway = result.Cut, result.Gone
	if len(result.Contours) == 0 {
		problems.Errorf(problem.NothingToPaint, t.layer.CutToPlace, problem.Advise("move the layer by its offsets, or leave the column cut to out"),
			"nothing of %s is left where it is cut", t.file())
		return nil, problems
	}
	out := make([]laid, len(result.Contours))
	for i, c := range result.Contours {
		from := &contours[c.From]
		out[i] = laid{Contour{Identity: c.Identity, Closed: c.Closed, Widths: c.Widths}, c.Points, from.layer, nil}
		if !c.Closed && c.Widths == nil && len(from.Widths) == len(c.Points) {
			out[i].Widths = from.Widths
		}
		out[i].Shape = i
	}
	renumber(p.Covers, result.Contours, len(contours))
	return out, nil
}

// renumber gives covers the number of the first contour after them when the contours
// have been cut; there were n before.
func renumber(covers []Cover, left []cutting.Contour, n int) {
	before := make([]int, n+1) // what is left of the contours before each
	for _, c := range left {
		before[c.From+1]++
	}
	for i := range n {
		before[i+1] += before[i]
	}
	for i := range covers {
		covers[i].Shape = before[covers[i].Shape]
	}
}

// shorten is by how much a line without a width of its own ends before a cut:
// by half the width that the layer gives it there.
func (t *task) shorten() func(c *cutting.Contour, along, length float64) float64 {
	if t.layer.Width == nil {
		return nil
	}
	return func(c *cutting.Contour, along, length float64) float64 {
		width, err := t.layer.Width.WidthAt(c.Shape, along, float64(along*length), length, 0)
		if err != nil || !(width > 0) {
			return 0
		}
		return width / 2
	}
}
