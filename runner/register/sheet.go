package register

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
)

// overshoot is how far a contour reaches past the margin.
type overshoot struct {
	contour int
	side    string
	by      float64 // mm
	at      drawing.XY
}

// onSheet checks that every contour, an open one with the width that the
// drawing gives it, stays within the sheet less its margin.
func (r *registration) onSheet(p *Placement, contours []Contour, points [][]drawing.XY) bool {
	var over []overshoot
	for i, c := range contours {
		if o := past(r.sheet, c, points[i]); o.by > rounding {
			o.contour = i
			over = append(over, o)
		}
	}
	if len(over) == 0 {
		return true
	}
	slices.SortStableFunc(over, func(a, b overshoot) int { return -cmp.Compare(a.by, b.by) })
	worst := over[0]
	e := problem.Problem{
		Code: problem.OffSheet, Place: contours[worst.contour].Place, Fix: problem.Advise(r.offSheetAdvice(p, contours, points)),
		Message: fmt.Sprintf("this reaches %s mm past the %s margin, at %s on the sheet of %s x %s mm with a margin of %s mm",
			mm(worst.by), worst.side, xy(worst.at), mm(r.sheet.Width), mm(r.sheet.Height), mm(r.sheet.Margin)),
		Related: []problem.Related{{Place: r.layer.Place, Note: "the layer " + quote(r.layer.Name)}},
	}
	if n := len(over) - 1; n > 0 {
		e.Message += fmt.Sprintf("; %d more %s past it too", n, plural(n, "shape reaches", "shapes reach"))
	}
	for _, o := range over[1:min(len(over), 1+mostRelated)] {
		e.Related = append(e.Related, problem.Related{Place: contours[o.contour].Place,
			Note: fmt.Sprintf("reaches %s mm past the %s margin, at %s", mm(o.by), o.side, xy(o.at))})
	}
	// A mark of the right size has proven the unit.
	if guess := r.sizeGuess(); guess != "" && len(r.marks) == 0 {
		e.Message += "; " + guess
	}
	r.problems.Add(e)
	return false
}

// past gives the point of a contour that lies farthest past the margin.
func past(sheet *model.Sheet, c Contour, points []drawing.XY) overshoot {
	worst := overshoot{by: math.Inf(-1)}
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
			// A point that is no number must not pass for one on the sheet.
			if s.by > worst.by || math.IsNaN(s.by) {
				if math.IsNaN(s.by) {
					s.by = math.Inf(1)
				}
				s.at = q
				worst = s
			}
		}
	}
	return worst
}

// offSheetAdvice tries whether the drawing would fit in a mirror, on the sheet
// laid the other way, or without its margin.
func (r *registration) offSheetAdvice(p *Placement, contours []Contour, points [][]drawing.XY) string {
	fits := func(on *model.Sheet, flip func(drawing.XY) drawing.XY) bool {
		for i, c := range contours {
			flipped := make([]drawing.XY, len(points[i]))
			for k, q := range points[i] {
				flipped[k] = flip(q)
			}
			if past(on, c, flipped).by > rounding {
				return false
			}
		}
		return true
	}
	if len(p.Marks) > 0 {
		m := r.marks[0]
		switch {
		case fits(r.sheet, func(q drawing.XY) drawing.XY { return drawing.XY{X: 2*m.X - q.X, Y: q.Y} }):
			return "the drawing looks mirrored left to right about its mark; draw or export it the right way round, or correct the mark's x"
		case fits(r.sheet, func(q drawing.XY) drawing.XY { return drawing.XY{X: q.X, Y: 2*m.Y - q.Y} }):
			return "the drawing looks mirrored upside down about its mark; draw or export it with y upwards, or correct the mark's y"
		}
	}
	turned, bare := *r.sheet, *r.sheet
	turned.Width, turned.Height = r.sheet.Height, r.sheet.Width
	bare.Margin = 0
	same := func(q drawing.XY) drawing.XY { return q }
	last := "take a larger sheet"
	switch {
	case fits(&bare, same):
		last = "write a smaller margin in the recipe"
	case fits(&turned, same):
		last = "lay the sheet the other way, with portrait or landscape behind its size"
	}
	return "move the shape in the drawing, correct the mark's x and y or the layer's offsets, or " + last
}
