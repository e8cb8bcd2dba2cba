package drawing

import (
	"fmt"
	"math"

	"mahlstick/recipe/problem"
	"mahlstick/runner/vector"
)

// Bounds gives the corners of the smallest upright box around all contours,
// in mm. It answers false where there are none.
func (d *Drawing) Bounds() (low, high vector.XY, ok bool) {
	box := vector.Empty()
	for i := range d.Contours {
		box = box.Union(vector.Bounds(d.Contours[i].Points))
	}
	return box.Min, box.Max, box.Min.X <= box.Max.X
}

// fewOpen is the number of open contours that may all be mistakes.
const fewOpen = 3

// onlyOpen counts the wanted contours if all are open and have no width.
func (d *Drawing) onlyOpen(want func(*Contour) bool) (first *Contour, n int) {
	for i := range d.Contours {
		switch c := &d.Contours[i]; {
		case want != nil && !want(c):
		case c.Closed || c.Widths != nil:
			return nil, 0
		case n == 0:
			first, n = c, 1
		default:
			n++
		}
	}
	return first, n
}

// maxOpen is the number of open contours that are reported one by one.
const maxOpen = 50

// OpenProblems makes an error of every open contour without a width for which
// want answers true; nil wants all. An error names both ends in mm, how far
// they are apart, and how to fix it. Where more than a few are wanted and none
// of them is closed, the drawing is one of centre lines, and one error says so.
func (d *Drawing) OpenProblems(want func(*Contour) bool) problem.List {
	var list problem.List
	if first, n := d.onlyOpen(want); n > fewOpen {
		list.Errorf(problem.OpenContour, first.Place, problem.Advise("say how wide they are: give the layer a column width, such as 1 mm (it then holds for all its lines), or draw their outlines"),
			"all %d lines are open and have no width, this one from (%s, %s) mm to (%s, %s) mm", n,
			Short(first.Points[0].X), Short(first.Points[0].Y), Short(first.Points[len(first.Points)-1].X), Short(first.Points[len(first.Points)-1].Y))
		return list
	}
	more := 0
	for i := range d.Contours {
		c := &d.Contours[i]
		if c.Closed || c.Widths != nil || want != nil && !want(c) {
			continue
		}
		if len(list) >= maxOpen {
			more++
			continue
		}
		list.Add(d.openProblem(c))
	}
	if more > 0 {
		last := list[len(list)-1]
		list.Errorf(problem.OpenContour, last.Place, problem.Advise("fix the first ones and look again"), "%d further lines are open", more)
	}
	return list
}

func (d *Drawing) openProblem(c *Contour) problem.Problem {
	a, b := c.Points[0], c.Points[len(c.Points)-1]
	gap := vector.Distance(a, b)
	reach := 0.0
	for _, p := range c.Points {
		reach = max(reach, math.Abs(p.X-a.X), math.Abs(p.Y-a.Y))
	}
	p := problem.Problem{
		Code: problem.OpenContour, Place: c.Place,
		Message: fmt.Sprintf("this line is open: from (%s, %s) mm to (%s, %s) mm, %s mm apart",
			Short(a.X), Short(a.Y), Short(b.X), Short(b.Y), Short(gap)),
		Fix: problem.Advise("close it in the drawing, or give it a width in the drawing or the layer to paint it as a stroke"),
	}
	if gap < 5 && gap < reach/2 {
		p.Fix = problem.Advise(fmt.Sprintf("close it in the drawing, or state a gap of %s mm for the layer", Short(math.Ceil(float64(gap*100)+1e-9)/100)))
	}
	for _, e := range d.Loose {
		switch {
		case e.At != a && e.At != b:
		case e.Ends > 1:
			p.Related = append(p.Related, problem.Related{Place: e.Place, Note: fmt.Sprintf("%d ends meet at (%s, %s) mm", e.Ends, Short(e.At.X), Short(e.At.Y))})
		case e.Nearest > 0 && e.Nearest < 5:
			p.Related = append(p.Related, problem.Related{Place: e.Place, Note: fmt.Sprintf("from (%s, %s) mm the nearest other loose end is %s mm away", Short(e.At.X), Short(e.At.Y), Short(e.Nearest))})
		}
	}
	return p
}
