package intake

import (
	"fmt"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/register"
)

// ruleOutlines makes closed outlines what the layer says that they are. As
// shapes, those with a constant width lose it; as lines, the inside of what is
// also drawn as a line is left out. A hatch or a solid is no outline.
func ruleOutlines(m *model.Layer, d *drawing.Drawing) {
	if m.Outlines == model.ByWidth {
		return
	}
	wanted := func(c *drawing.Contour) bool {
		constant := c.Widths != nil && slices.Min(c.Widths) == slices.Max(c.Widths)
		return c.Closed && (m.Outlines == model.AsShapes && constant || m.Outlines == model.AsLines && c.Widths == nil && !c.Filled)
	}
	// Places at which the other kind is drawn as well: a shape with fill and stroke.
	both := map[source.Place]bool{}
	for i := range d.Contours {
		if c := &d.Contours[i]; c.Closed && !wanted(c) && (c.Widths == nil) == (m.Outlines == model.AsShapes) {
			both[c.Place] = true
		}
	}
	d.Contours = slices.DeleteFunc(d.Contours, func(c drawing.Contour) bool { return wanted(&c) && both[c.Place] })
	if m.Outlines == model.AsShapes {
		for i := range d.Contours {
			if c := &d.Contours[i]; wanted(c) {
				c.Widths = nil
			}
		}
	}
}

// withoutOutlineWidth leaves out the warning that outlines with a thin width are
// lines, where the layer says what they are.
func withoutOutlineWidth(m *model.Layer, list problem.List) problem.List {
	if m.Outlines == model.ByWidth {
		return list
	}
	return slices.DeleteFunc(list, func(q problem.Problem) bool { return q.Code == problem.OutlineWidth })
}

// unwideOutlines refuses closed outlines that are to be painted as lines and
// have no width.
func unwideOutlines(m *model.Layer, contours []register.Contour) problem.List {
	var list problem.List
	n := 0
	var first source.Place
	for _, c := range contours {
		if c.Closed && c.Widths == nil && !c.Filled {
			if n++; n == 1 {
				first = c.Place
			}
		}
	}
	if n > 0 && m.Width == nil {
		what := "this closed outline is to be painted as a line and has"
		if n > 1 {
			what = fmt.Sprintf("%d closed outlines are to be painted as lines and have", n)
		}
		list.Errorf(problem.OpenContour, first, problem.Advise("give the layer a column width, such as 1 mm (it then holds for all its lines), or write shapes in the column outlines"), "%s no width", what)
	}
	return list
}

// widthOfOutlines warns of a width, which is for open lines, on a layer with
// closed outlines: they are painted as the shapes that they enclose.
func widthOfOutlines(m *model.Layer, contours []register.Contour) problem.List {
	if m.Outlines == model.AsLines {
		return unwideOutlines(m, contours)
	}
	var first source.Place
	closed := 0
	for _, c := range contours {
		if c.Closed && c.Widths == nil {
			if closed++; closed == 1 {
				first = c.Place
			}
		}
	}
	if m.Width == nil || closed == 0 {
		return nil
	}
	its, each, note := "1 closed outline is", "the shape it encloses", "the closed outline"
	if closed > 1 {
		its, each, note = fmt.Sprintf("%d closed outlines are", closed), "the shapes they enclose", "the first of them"
	}
	p := problem.Problem{Severity: problem.Warning, Code: problem.ClosedOutline, Place: m.WidthPlace,
		Message: fmt.Sprintf("the width is for open lines, and the layer %q has none: its %s painted as %s", m.Name, its, each),
		Fix:     problem.Advise("leave the width out; for lines along the outlines, write lines in the column outlines"),
		Related: []problem.Related{{Place: first, Note: note}},
	}
	if closed < len(contours) {
		p.Severity = problem.Hint
		p.Message = fmt.Sprintf("the width is for the open lines of the layer %q; its %s painted as %s", m.Name, its, each)
		p.Fix = problem.Advise("for lines along the outlines, write lines in the column outlines; ignore this if the shape is intended")
	}
	return problem.List{p}
}
