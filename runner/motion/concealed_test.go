package motion_test

import (
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// A brush that trails and comes down concealed turns round at both ends of a stroke,
// with its axis ahead of the mark. Whatever strokes lie near the edges of the sheet
// and of the reach, either they are refused or the axis never leaves either.
func TestConcealedNearTheEdge(t *testing.T) {
	var accepted, near, refused, turned int
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		b.layer.Entries = model.Concealed
		lag := rapid.Float64Range(0.2, 4).Draw(t, "lag")
		b.layer.Brush.Lag = brush.ConstantLag(lag)
		b.sheet.Width, b.sheet.Height, b.sheet.Margin = 60, 40, 0
		b.machine.ReachX, b.machine.ReachY = rapid.Float64Range(58, 62).Draw(t, "reach x"), rapid.Float64Range(38, 42).Draw(t, "reach y")
		x, y := rapid.Float64Range(3, 57).Draw(t, "x"), rapid.Float64Range(3, 37).Draw(t, "y")
		var points []stroke.Point
		for range rapid.IntRange(2, 8).Draw(t, "points") {
			p := b.at(x, y, rapid.Float64Range(0.5, 5).Draw(t, "press"))
			points = append(points, p)
			x = min(max(x+rapid.Float64Range(-15, 15).Draw(t, "dx"), 2.5), 57.5)
			y = min(max(y+rapid.Float64Range(-10, 10).Draw(t, "dy"), 2.5), 37.5)
		}
		g := gesture(points...)
		g.Kind = stroke.Main
		p, problems := b.make(g)
		if problems.HasErrors() {
			refused++
			return
		}
		accepted++
		turned += p.Entries.Entries
		nearest := 1e9
		for _, s := range p.Strokes {
			for _, v := range s.Moves {
				x, y := plane.MM(v.X), plane.MM(v.Y)
				room := min(x, y, b.sheet.Width-x, b.sheet.Height-y, b.machine.ReachX-x, b.machine.ReachY-y)
				if room < -0.0006 {
					t.Fatalf("the axis is at %.3f, %.3f: %.3f mm outside", x, y, -room)
				}
				nearest = min(nearest, room)
			}
		}
		if nearest < lag {
			near++
		}
	})
	if accepted == 0 || near == 0 || refused == 0 || turned == 0 {
		t.Errorf("%d accepted, %d of them near an edge, %d refused, %d concealed entries: nothing was tried", accepted, near, refused, turned)
	}
}
