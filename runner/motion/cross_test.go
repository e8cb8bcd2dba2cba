package motion_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// The arms of a painted mark point at its middle and leave it open.
func TestPaintedMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		m := model.Mark{Name: "far", X: rapid.Float64Range(20, 180).Draw(t, "x"), Y: rapid.Float64Range(20, 280).Draw(t, "y"),
			Size: rapid.Float64Range(4, 20).Draw(t, "size"), Painted: b.layer.Name}
		other := model.Mark{Name: "by another", X: 100, Y: 100, Size: 8, Painted: "another layer"}
		arms, names, problems := motion.PaintedMarks(&b.layer, []model.Mark{m, other, {Name: "drawn", X: 50, Y: 50, Size: 8}}, nil)
		if len(problems) > 0 {
			if p := problems[0]; p.Code != problem.MarkTooSmall || m.Size > 6*b.layer.Brush.WidestPainted() {
				t.Fatal(problems)
			}
			return
		}
		check := func(what string, got, want, within float64) {
			if math.Abs(got-want) > within {
				t.Errorf("%s: %g, want %g", what, got, want)
			}
		}
		if len(names) != 1 || names[0] != "far" || len(arms) != stroke.CrossArms {
			t.Fatal(names, len(arms))
		}
		for i, a := range arms {
			from, to, opposite := a.Points[0], a.Points[1], arms[(i+2)%4].Points[1]
			check("middle between opposite arms, x", plane.MM(to.X+opposite.X)/2, m.X, 0.0002)
			check("middle between opposite arms, y", plane.MM(to.Y+opposite.Y)/2, m.Y, 0.0002)
			outer := math.Hypot(plane.MM(from.X)-m.X, plane.MM(from.Y)-m.Y) + from.Width/2
			inner := math.Hypot(plane.MM(to.X)-m.X, plane.MM(to.Y)-m.Y) - to.Width/2
			check("outer end of an arm", outer, m.Size/2, 0.0003)
			check("open middle", inner, m.Size/8, 0.0003)
		}
	})
}

// A mark is never painted where anything else is.
func TestPaintedMarkInThePicture(t *testing.T) {
	b := newBench()
	m := model.Mark{Name: "far", X: 100, Y: 100, Size: 6, Painted: b.layer.Name}
	line := func(x float64) stroke.Gesture { return gesture(b.at(x, 50, 1), b.at(x, 150, 1)) }
	half := line(0).Points[0].Width/2 + 3 + 1
	if _, _, problems := motion.PaintedMarks(&b.layer, []model.Mark{m}, []stroke.Gesture{line(100 + half - 0.01)}); len(problems) != 1 || problems[0].Code != problem.MarkInPicture {
		t.Error(problems)
	}
	if _, _, problems := motion.PaintedMarks(&b.layer, []model.Mark{m}, []stroke.Gesture{line(100 + half + 0.01)}); len(problems) != 0 {
		t.Error(problems)
	}
}

// Proposed marks are far apart, free, on the sheet, and can be painted.
func TestProposedMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		b.sheet.Lay = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay"))
		b.sheet.Margin = rapid.Float64Range(0, 15).Draw(t, "margin")
		b.machine.ReachX = rapid.Float64Range(150, 400).Draw(t, "reach")
		var painted []stroke.Gesture
		for range rapid.IntRange(0, 6).Draw(t, "n") {
			x, y := rapid.Float64Range(10, 200).Draw(t, "x"), rapid.Float64Range(10, 287).Draw(t, "y")
			painted = append(painted, gesture(b.at(x, y, 1), b.at(min(x+40, 205), y, 2)))
		}
		marks := motion.ProposeMarks(b.layer.Brush, &b.sheet, &b.machine, painted)
		for i := range marks {
			marks[i].Painted = b.layer.Name
		}
		arms, _, problems := motion.PaintedMarks(&b.layer, marks, painted)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		if _, problems := b.make(arms...); problems.HasErrors() {
			t.Fatal(problems)
		}
		if len(marks) == 4 && len(painted) == 0 {
			if d := math.Hypot(marks[0].X-marks[1].X, marks[0].Y-marks[1].Y); d < 200 {
				t.Errorf("the first two are %g mm apart", d)
			}
		}
	})
}
