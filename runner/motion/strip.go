package motion

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// StripMark is one mark of a check strip and the width that it should have, in
// mm.
type StripMark struct {
	Name     string // "a", "b", "c"
	Width    float64
	Press    float64
	From, To plane.Point // on the sheet
}

// The check strip is three marks in a row along an edge of the sheet; lengths
// in mm.
const (
	stripMark  = 12.0 // length of a mark
	stripGap   = 4.0
	stripClear = 1.0 // kept clear around the strip
	stripSteps = 400 // positions tried along an edge: about one per mm on common sheets
)

// stripShares are the widths of the marks, as shares of the range from the
// lightest to the widest mark.
var stripShares = [...]float64{0.25, 0.55, 0.90}

// CheckStrip returns three short marks that show whether the brush was touched
// off correctly before the picture is begun. They are near the lay corner, in
// the middle of the margin if it is wide enough, else as near to the edge as
// their width allows, clear of the given boxes (on the sheet), which are painted
// areas and the strips of other layers, and where the machine can paint them.
// Rows are tried from the edge inwards, first in the margin and then inside it.
// If there is no such place, the list holds a warning and there are no marks.
//
// The gestures have shape -1, because they belong to no drawn shape.
func CheckStrip(layer *model.Layer, sheet *model.Sheet, machine *model.Machine, lie Lie, avoid []plane.Box) ([]stroke.Gesture, []StripMark, problem.List) {
	curve := layer.Brush.Curve
	narrowest, _ := curve.Range()
	widest := layer.Brush.WidestPainted()
	var marks []StripMark
	for i, share := range stripShares {
		w := narrowest + float64(share*(widest-narrowest))
		p, err := curve.PressFor(w)
		if err != nil {
			continue // the brush has no curve
		}
		marks = append(marks, StripMark{Name: string(rune('a' + i)), Width: w, Press: p})
	}
	missing := problem.Problem{Severity: problem.Warning, Code: problem.NoRoomForStrip, Place: layer.Place,
		Message: fmt.Sprintf("the layer %q has no check strip: the sheet has no free place for it that the machine can reach", layer.Name),
		Fix:     problem.Advise("leave more room around the picture within the machine's reach, or paint the check marks on scrap")}
	if len(marks) < len(stripShares) {
		return nil, nil, problem.List{missing}
	}
	l := stripLayer{planner: newPlanner(layer, sheet, machine, lie), marks: marks, avoid: avoid}
	if deepest := -min(l.planner.axes.steps(marks[len(marks)-1].Press), l.planner.deepest); deepest < l.planner.axes.lowest {
		missing.Message = fmt.Sprintf("the layer %q has no check strip: its widest mark needs Z%s, lower than the machine reaches", layer.Name, mm(plane.MM(deepest)))
		missing.Fix = problem.Advise("lower the safe height as far as clamps and tape allow, mount the brush lower, or paint the check marks on scrap")
		return nil, nil, problem.List{missing}
	}
	if !l.lay() {
		return nil, nil, problem.List{missing}
	}
	return l.gestures(), marks, nil
}

// stripLayer finds a place for a check strip.
type stripLayer struct {
	planner *planner
	marks   []StripMark
	avoid   []plane.Box // on the sheet
}

// gestures returns the marks as gestures.
func (l *stripLayer) gestures() []stroke.Gesture {
	place := l.planner.layer.Place
	var gestures []stroke.Gesture
	for _, m := range l.marks {
		gestures = append(gestures, stroke.Gesture{Kind: stroke.Check, Shape: -1, Place: place, Points: []stroke.Point{
			{X: m.From.X, Y: m.From.Y, Press: m.Press, Width: m.Width},
			{X: m.To.X, Y: m.To.Y, Press: m.Press, Width: m.Width},
		}})
	}
	return gestures
}

// reachable reports whether the machine can paint the marks where they are, and
// the brush stays over the sheet.
func (l *stripLayer) reachable() bool {
	p := l.planner
	p.worst, p.moves, p.remarks = violations{}, p.moves[:0], nil
	at := Move{Z: p.axes.safe}
	for _, g := range l.gestures() {
		shaped := p.entries.Shape(g)
		path := p.axisPath(shaped.Gesture)
		s := p.stroke(shaped, path, at, false)
		p.check(shaped.Gesture, path, &s)
	}
	w := p.worst
	return max(w.press.by, w.sheet.by, w.ahead.by, w.reach.by, w.depth.by) == 0 && w.hits == 0
}

// lay finds a place for the marks, row by row inwards from the two edges at the
// lay corner, and along each row away from that corner.
func (l *stripLayer) lay() bool {
	marks, sheet := l.marks, l.planner.sheet
	widest := marks[len(marks)-1].Width
	length := float64(stripMark*float64(len(marks))) + float64(stripGap*float64(len(marks)-1))
	across := max(sheet.Margin/2, widest/2+stripClear/2)
	for row := across; row < min(sheet.Width, sheet.Height)/2; row += widest + 2*stripClear {
		for _, upright := range []bool{false, true} {
			edge := sheet.Width
			if upright {
				edge = sheet.Height
			}
			// Clear of the margins at both ends of the edge.
			room := edge - 2*max(sheet.Margin, widest/2+stripClear) - length
			for i := range stripSteps {
				along := max(sheet.Margin, widest/2+stripClear) + float64(room*float64(i))/(stripSteps-1)
				if room < 0 {
					break
				}
				if placeStrip(marks, sheet, upright, along, row); free(marks, l.avoid) && l.reachable() {
					return true
				}
			}
		}
	}
	return false
}

// placeStrip sets the ends of the marks: along (mm) is the distance from the
// lay corner along the edge, across the distance from the edge.
func placeStrip(marks []StripMark, sheet *model.Sheet, upright bool, along, across float64) {
	at := func(s float64) plane.Point {
		x, y := s, across
		if upright {
			x, y = across, s
		}
		if sheet.Lay == model.LowerRight || sheet.Lay == model.UpperRight {
			x = sheet.Width - x
		}
		if sheet.Lay == model.UpperLeft || sheet.Lay == model.UpperRight {
			y = sheet.Height - y
		}
		return plane.At(x, y)
	}
	for i := range marks {
		s := along + float64(float64(i)*(stripMark+stripGap))
		marks[i].From, marks[i].To = at(s), at(s+stripMark)
	}
}

// free reports whether the strip and the clear space around it overlap none of
// the boxes.
func free(marks []StripMark, avoid []plane.Box) bool {
	last := marks[len(marks)-1]
	b := plane.Bounds([]plane.Point{marks[0].From, last.To})
	r := plane.Snap(last.Width/2 + stripClear)
	for _, a := range avoid {
		if b.Min.X-r < a.Max.X && a.Min.X < b.Max.X+r && b.Min.Y-r < a.Max.Y && a.Min.Y < b.Max.Y+r {
			return false
		}
	}
	return true
}

// Swept is the box on the sheet that the marks of the gestures cover; false if
// there are none.
func Swept(gestures []stroke.Gesture) (plane.Box, bool) {
	box := plane.Empty()
	for _, g := range gestures {
		for _, p := range g.Points {
			box = box.Union(plane.Around(p.Plane(), halfWidth(p)))
		}
	}
	return box, box != plane.Empty()
}

// halfWidth is half the width of the mark at a point in grid steps, rounded up.
func halfWidth(p stroke.Point) int32 { return plane.Snap(p.Width/2) + 1 }
