package touching_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

func line(ax, ay, bx, by, width float64) []stroke.Gesture {
	a, b := plane.At(ax, ay), plane.At(bx, by)
	return []stroke.Gesture{{Points: []stroke.Point{{X: a.X, Y: a.Y, Width: width}, {X: b.X, Y: b.Y, Width: width}}}}
}

func TestNeighbours(t *testing.T) {
	groups := [][]stroke.Gesture{
		line(0, 0, 10, 0, 1),         // 0
		line(0, 0.999, 10, 0.999, 1), // 1 touches 0
		line(0, 2.1, 10, 2.1, 1),     // 2 touches none
		line(5, -5, 5, 50, 0.2),      // 3 crosses 0, 1, 2
		{},                           // 4 paints nothing
		line(30, 0, 30, 0, 2),        // 5, a dab
		line(31.9, 0, 31.9, 0, 2),    // 6, another that touches it
	}
	want := [][]int32{{1, 3}, {0, 3}, {3}, {0, 1, 2}, nil, {6}, {5}}
	for i, got := range touching.Neighbours(groups) {
		if !slices.Equal(got, want[i]) {
			t.Errorf("%d touches %v, want %v", i, got, want[i])
		}
	}
}

// Against discs along both strokes, which is slow: what they find touches, and what
// is farther apart than they can miss does not.
func TestNeighboursAgainstDiscs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(0, 30)
		var groups [][]stroke.Gesture
		for range rapid.IntRange(2, 6).Draw(t, "n") {
			groups = append(groups, line(at.Draw(t, "ax"), at.Draw(t, "ay"), at.Draw(t, "bx"), at.Draw(t, "by"), rapid.Float64Range(0.1, 4).Draw(t, "w")))
		}
		near := touching.Neighbours(groups)
		for i := range groups {
			for k := range groups[:i] {
				gap := math.Inf(1)
				for u := 0.0; u <= 1; u += 0.01 {
					for v := 0.0; v <= 1; v += 0.01 {
						p, q := between(groups[i][0], u), between(groups[k][0], v)
						gap = min(gap, math.Hypot(p[0]-q[0], p[1]-q[1]))
					}
				}
				gap -= (groups[i][0].Points[0].Width + groups[k][0].Points[0].Width) / 2
				if touch := slices.Contains(near[i], int32(k)); touch != (gap <= 0) && math.Abs(gap) > 0.5 {
					t.Fatalf("%d and %d are %g mm apart, touching %v", i, k, gap, touch)
				}
			}
		}
	})
}

func between(g stroke.Gesture, t float64) [2]float64 {
	a, b := g.Points[0], g.Points[1]
	return [2]float64{plane.MM(a.X) + t*(plane.MM(b.X)-plane.MM(a.X)), plane.MM(a.Y) + t*(plane.MM(b.Y)-plane.MM(a.Y))}
}
