package motion

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// A painted register mark is a cross with an open middle: its centre is found by
// the tip of a brush, and no paint hides it.
const (
	// crossGap is the half of the open middle, as a share of the mark's size.
	crossGap = 1.0 / 8
	// crossLeast is how many times as wide as its arms a mark must be: so each arm
	// is at least as long as it is wide.
	crossLeast = 6.0
	// crossClear (mm) is kept free of paint around a mark.
	crossClear = 1.0
)

// PaintedMarks returns the crosses that a layer paints, each as
// stroke.CrossArms gestures that are pulled towards the middle. They are as thin as the brush
// surely paints; names are those of the marks. Nothing else may be painted there: painted are the gestures of
// all layers and the check strips that are laid already. The gestures have
// shape -1, because they belong to no drawn shape.
func PaintedMarks(layer *model.Layer, marks []model.Mark, painted []stroke.Gesture) (out []stroke.Gesture, names []string, problems problem.List) {
	narrowest, _ := layer.Brush.Curve.Range()
	width := min(max(layer.Brush.Thinnest, narrowest), layer.Brush.WidestPainted())
	press, err := layer.Brush.Curve.PressFor(width)
	for _, m := range marks {
		if m.Painted != layer.Name {
			continue
		}
		if err != nil || m.Size < crossLeast*width {
			problems.Errorf(problem.MarkTooSmall, m.Place, problem.Advise(fmt.Sprintf("write a size of at least %s mm, or let a finer brush paint it", mm(crossLeast*width))),
				"the mark %q of %s mm is too small to be painted by the layer %q, whose thinnest sure line is %s mm wide", m.Name, mm(m.Size), layer.Name, mm(width))
			continue
		}
		if other, over := covers(m, painted); over {
			problems.Add(problem.Problem{Code: problem.MarkInPicture, Place: m.Place,
				Message: fmt.Sprintf("the mark %q, painted by the layer %q, would lie where something else is painted", m.Name, layer.Name),
				Fix:     problem.Advise("move the mark into the margin, clear of the picture and the check strips; the command template proposes places"),
				Related: []problem.Related{{Place: other, Note: "painted there"}}})
			continue
		}
		names = append(names, m.Name)
		inner, outer := m.Size*crossGap+width/2, m.Size/2-width/2
		for _, d := range [stroke.CrossArms][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			at := func(r float64) stroke.Point {
				p := plane.At(m.X+float64(d[0]*r), m.Y+float64(d[1]*r))
				return stroke.Point{X: p.X, Y: p.Y, Press: press, Width: width}
			}
			out = append(out, stroke.Gesture{Kind: stroke.Register, Shape: -1, Place: m.Place, Points: []stroke.Point{at(outer), at(inner)}})
		}
	}
	return out, names, problems
}

// covers reports whether one of the gestures paints within a mark, and where
// that one is drawn.
func covers(m model.Mark, painted []stroke.Gesture) (where source.Place, over bool) {
	half := plane.Snap(m.Size/2 + crossClear)
	mark := plane.Around(plane.At(m.X, m.Y), half)
	for _, g := range painted {
		for i, p := range g.Points {
			box := plane.Around(p.Plane(), halfWidth(p))
			if i > 0 {
				q := g.Points[i-1]
				box = box.Union(plane.Around(q.Plane(), halfWidth(q)))
			}
			if box.Min.X < mark.Max.X && mark.Min.X < box.Max.X && box.Min.Y < mark.Max.Y && mark.Min.Y < box.Max.Y {
				return g.Place, true
			}
		}
	}
	return where, false
}
