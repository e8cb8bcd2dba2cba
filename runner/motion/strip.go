package motion

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// StripMark is a mark of a check strip: what to measure, and what should be
// found, in mm.
type StripMark struct {
	Name     string // "a", "b", "c"
	Width    float64
	Press    float64
	From, To plane.Point // on the sheet
}

// The check strip: three marks in a row along an edge of the sheet, in mm, and
// where their widths lie between the lightest and the widest mark.
const (
	stripMark  = 12.0
	stripGap   = 4.0
	stripClear = 1.0 // kept clear around it
	stripSteps = 400 // places that are tried along an edge
)

var stripShares = [...]float64{0.25, 0.55, 0.90}

// CheckStrip is three short marks that tell whether the brush was touched off
// rightly, before the picture is risked. They stand near the lay corner, in
// the middle of the margin where it is broad enough, else as near to the edge as
// their width allows, and clear of the boxes (on the sheet) that are to be
// avoided: painted areas and the strips of other layers. Each of the two edges
// has room for one row or few in the margin; further rows lie inside it. Where there is no such place the list
// holds a warning and there are no marks.
//
// The gestures have shape -1, as nothing drawn belongs to them.
func CheckStrip(layer *model.Layer, sheet *model.Sheet, avoid []plane.Box) ([]stroke.Gesture, []StripMark, problem.List) {
	var problems problem.List
	curve := layer.Brush.Curve
	narrowest, widest := curve.Range()
	var marks []StripMark
	for i, share := range stripShares {
		w := narrowest + float64(share*(widest-narrowest))
		p, err := curve.PressFor(w)
		if err != nil {
			continue // not between the ends of its own range: there is no curve
		}
		marks = append(marks, StripMark{Name: string(rune('a' + i)), Width: w, Press: p})
	}
	if len(marks) < len(stripShares) || !layStrip(marks, sheet, avoid) {
		problems.Add(problem.Problem{
			Severity: problem.Warning, Code: problem.NoRoomForStrip, Place: layer.Place,
			Message: fmt.Sprintf("the sheet has no free place for a check strip of the layer %q", layer.Name),
			Fix:     problem.Advise("leave more room round the picture, or paint the check marks on scrap"),
		})
		return nil, nil, problems
	}
	var gestures []stroke.Gesture
	for _, m := range marks {
		gestures = append(gestures, stroke.Gesture{Kind: stroke.Check, Shape: -1, Place: layer.Place, Points: []stroke.Point{
			{X: m.From.X, Y: m.From.Y, Press: m.Press, Width: m.Width},
			{X: m.To.X, Y: m.To.Y, Press: m.Press, Width: m.Width},
		}})
	}
	return gestures, marks, problems
}

// layStrip finds a place, row by row inwards from the two edges at the lay
// corner and step by step away from it.
func layStrip(marks []StripMark, sheet *model.Sheet, avoid []plane.Box) bool {
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
				if placeStrip(marks, sheet, upright, along, row); free(marks, avoid) {
					return true
				}
			}
		}
	}
	return false
}

// placeStrip puts the marks at a distance along the edge from the lay corner,
// and across from the edge.
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

// free tells whether the strip, with what is kept clear around it, overlaps no
// box.
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

// Swept is the box on the sheet that the marks of gestures cover. It is false
// where there are none.
func Swept(gestures []stroke.Gesture) (plane.Box, bool) {
	var box plane.Box
	any := false
	for _, g := range gestures {
		for _, p := range g.Points {
			r := halfWidth(p)
			b := plane.Box{Min: plane.Point{X: p.X - r, Y: p.Y - r}, Max: plane.Point{X: p.X + r, Y: p.Y + r}}
			if !any {
				box, any = b, true
			}
			box.Min.X, box.Min.Y = min(box.Min.X, b.Min.X), min(box.Min.Y, b.Min.Y)
			box.Max.X, box.Max.Y = max(box.Max.X, b.Max.X), max(box.Max.Y, b.Max.Y)
		}
	}
	return box, any
}

// halfWidth is half the mark at a point in grid steps, rounded up.
func halfWidth(p stroke.Point) int32 { return plane.Snap(p.Width/2) + 1 }
