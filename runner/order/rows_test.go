package order_test

import (
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Random straight strokes: one that begins more than 10 mm higher comes before,
// whatever the travel, and none goes up. Away from the right hand, one whose
// farthest place is more than 20 mm farther from the hand comes before.
func TestSheetRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var gestures []stroke.Gesture
		for i := range rapid.IntRange(1, 30).Draw(t, "strokes") {
			at := func(name string) stroke.Point {
				p := plane.At(rapid.Float64Range(0, 200).Draw(t, name+" x"), rapid.Float64Range(0, 280).Draw(t, name+" y"))
				return stroke.Point{X: p.X, Y: p.Y, Press: 1, Width: 1}
			}
			gestures = append(gestures, stroke.Gesture{Kind: stroke.Line, Shape: i, Points: []stroke.Point{at("from"), at("to")}})
		}
		left := rapid.Bool().Draw(t, "left")
		for _, by := range []model.Order{model.ByRows, model.FromHand} {
			sorted := order.Sort(gestures, order.Options{By: by, LeftHand: left})
			if len(sorted) != len(gestures) {
				t.Fatal("a stroke is missing")
			}
			step := 10.0
			if by == model.FromHand {
				step = 20
			}
			farthest := 1e9
			for _, g := range sorted {
				f := farFromHand(g, by, left)
				if f > farthest+step {
					t.Fatalf("%v: a stroke at %g mm comes after one at %g mm", by, f, farthest)
				}
				farthest = min(farthest, f)
				a, b := g.Points[0], g.Points[1]
				if run := int64(b.X) - int64(a.X); int64(b.Y)-int64(a.Y) > 3*max(run, -run) {
					t.Fatalf("%v: a stroke goes up from %v to %v", by, a, b)
				}
			}
		}
	})
}

// farFromHand is how far (mm) the farthest place of a stroke is from the side of
// the hand, or from below.
func farFromHand(g stroke.Gesture, by model.Order, left bool) float64 {
	most := -1e9
	for _, p := range g.Points {
		x, y := plane.MM(p.X), plane.MM(p.Y)
		switch {
		case by == model.ByRows:
			most = max(most, y)
		case left:
			most = max(most, x+y)
		default:
			most = max(most, y-x)
		}
	}
	return most
}

// In the short order strokes are pulled only if the recipe says so.
func TestPulledByTravel(t *testing.T) {
	up := stroke.Gesture{Kind: stroke.Line, Points: []stroke.Point{{X: 0, Y: 0, Width: 1}, {X: 0, Y: 10 * plane.PerMM, Width: 1}}}
	for _, pulled := range []bool{false, true} {
		got := order.Sort([]stroke.Gesture{up}, order.Options{Pulled: pulled})
		if down := got[0].Points[0].Y > 0; down != pulled {
			t.Errorf("pulled %v: begins at %v", pulled, got[0].Points[0])
		}
	}
}

// Three strokes side by side, the outer two apart: the one in the middle touches
// both. Without a time to dry it comes second; with one, the two that do not touch
// come first.
func TestDryingPutsOff(t *testing.T) {
	line := func(shape int, y float64) stroke.Gesture {
		a, b := plane.At(10, y), plane.At(60, y)
		return stroke.Gesture{Kind: stroke.Line, Shape: shape, Points: []stroke.Point{{X: a.X, Y: a.Y, Width: 2}, {X: b.X, Y: b.Y, Width: 2}}}
	}
	strokes := []stroke.Gesture{line(0, 10), line(1, 11.5), line(2, 13)}
	shapes := func(o order.Options) (out [3]int) {
		for i, g := range order.Sort(strokes, o) {
			out[i] = g.Shape
		}
		return out
	}
	if got := shapes(order.Options{}); got != [3]int{0, 1, 2} {
		t.Errorf("by travel: %v", got)
	}
	if got := shapes(order.Options{Drying: order.Drying{Wet: 10, Feed: 10, Travel: 50, Lift: 1}}); got != [3]int{0, 2, 1} {
		t.Errorf("with a time to dry: %v", got)
	}
}
