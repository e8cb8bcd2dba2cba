package register

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// rounding (mm) is how far a point may pass the margin unreported: half a grid
// step, and the rounding of a turn.
const rounding = 0.0002

// overshoot is how far a contour reaches past the margin.
type overshoot struct {
	contour laid
	side    string
	by      float64 // mm
	at      vector.XY
}

// checkMargins checks that every contour, an open one with its width in the
// drawing, stays within the sheet less its margin.
func checkMargins(t *task, contours []laid, placed *Placement) problem.List {
	if t.layer.Width != nil { // it comes before the widths of the drawing
		contours = slices.Clone(contours)
		for i := range contours {
			contours[i].Widths = nil
		}
	}
	var over []overshoot
	for _, c := range contours {
		if o := past(t.sheet, c, c.exact); o.by > rounding {
			over = append(over, o)
		}
	}
	if len(over) == 0 {
		return nil
	}
	apart := onLayersApart(t, contours, over)
	slices.SortStableFunc(over, func(a, b overshoot) int { return -cmp.Compare(a.by, b.by) })
	worst := over[0]
	p := problem.Problem{
		Code: problem.OffSheet, Place: worst.contour.Place, Fix: problem.Advise(offSheetFix(t, contours, placed)),
		Message: fmt.Sprintf("this reaches %s mm past the %s margin, at %s on the sheet of %s x %s mm with a margin of %s mm",
			mm(worst.by), worst.side, xy(worst.at), mm(t.sheet.Width), mm(t.sheet.Height), mm(t.sheet.Margin)),
		Related: []problem.Related{{Place: t.layer.Place, Note: "the layer " + quote(t.layer.Name)}},
	}
	if apart {
		p.Fix = p.Fix.Or("; for a frame that is not part of the picture, name the picture's layer in the column drawing layer")
	}
	if n := len(over) - 1; n > 0 {
		p.Message += fmt.Sprintf("; %d more %s past it too", n, plural(n, "shape reaches", "shapes reach"))
	}
	for _, o := range over[1:min(len(over), 1+maxRelated)] {
		p.Related = append(p.Related, problem.Related{Place: o.contour.Place,
			Note: fmt.Sprintf("reaches %s mm past the %s margin, at %s", mm(o.by), o.side, xy(o.at))})
	}
	// A mark of the right size proves that the unit is right; one that is stated is
	// not doubted.
	if len(t.marks) == 0 {
		stated := t.layer.DrawnSize.By != model.ByUnit || t.layer.Unit.Place.Known() || t.drawing.UnitInFile
		if units := otherUnits(t, !stated); units != "" {
			p.Message += "; " + units
		}
	}
	return problem.List{p}
}

// past returns the point of a contour that is farthest past the margin.
func past(sheet *model.Sheet, c laid, points []vector.XY) overshoot {
	worst := overshoot{contour: c, by: math.Inf(-1)}
	for i, q := range points {
		half := 0.0
		if i < len(c.Widths) && !c.Closed {
			half = c.Widths[i] / 2
		}
		for _, s := range []overshoot{
			{side: "left", by: sheet.Margin - (q.X - half)},
			{side: "right", by: q.X + half - (sheet.Width - sheet.Margin)},
			{side: "lower", by: sheet.Margin - (q.Y - half)},
			{side: "upper", by: q.Y + half - (sheet.Height - sheet.Margin)},
		} {
			if math.IsNaN(s.by) { // NaN is not on the sheet
				s.by = math.Inf(1)
			}
			if s.by > worst.by {
				worst.side, worst.by, worst.at = s.side, s.by, q
			}
		}
	}
	return worst
}

// onLayersApart reports whether the shapes that reach too far, such as those of
// a frame, are on drawing layers of their own, and the recipe asks for none.
func onLayersApart(t *task, contours []laid, over []overshoot) bool {
	if t.layer.DrawingLayer != "" {
		return false
	}
	tooFar := map[string]bool{}
	for _, o := range over {
		tooFar[o.contour.layer] = true
	}
	return slices.ContainsFunc(contours, func(c laid) bool { return !tooFar[c.layer] }) &&
		!slices.ContainsFunc(contours, func(c laid) bool { return tooFar[c.layer] && past(t.sheet, c, c.exact).by <= rounding })
}

// offSheetFix tests whether the drawing would fit mirrored, on the sheet turned
// the other way, or without the margin, and advises accordingly.
func offSheetFix(t *task, contours []laid, placed *Placement) string {
	fits := func(on *model.Sheet, flip func(vector.XY) vector.XY) bool {
		for _, c := range contours {
			flipped := make([]vector.XY, len(c.exact))
			for k, q := range c.exact {
				flipped[k] = flip(q)
			}
			if past(on, c, flipped).by > rounding {
				return false
			}
		}
		return true
	}
	if len(t.marks) > 0 {
		m := t.marks[0]
		switch {
		case fits(t.sheet, func(q vector.XY) vector.XY { return vector.XY{X: 2*m.X - q.X, Y: q.Y} }):
			return "the drawing looks mirrored left to right about its mark; draw or export it the right way round, or correct the mark's x"
		case fits(t.sheet, func(q vector.XY) vector.XY { return vector.XY{X: q.X, Y: 2*m.Y - q.Y} }):
			return "the drawing looks mirrored upside down about its mark; draw or export it with y upwards, or correct the mark's y"
		}
	}
	turned, bare := *t.sheet, *t.sheet
	turned.Width, turned.Height = t.sheet.Height, t.sheet.Width
	bare.Margin = 0
	same := func(q vector.XY) vector.XY { return q }
	last := "take a larger sheet"
	switch {
	case fits(&bare, same):
		last = "write a smaller margin in the recipe"
	case fits(&turned, same):
		last = "lay the sheet the other way: write portrait or landscape after its size"
	}
	if len(t.marks) == 0 {
		return smallerFix(t, placed, last)
	}
	return "move the shape in the drawing, correct the mark's x and y or the layer's offsets, or " + last
}
