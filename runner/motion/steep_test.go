package motion_test

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// Where the lag shrinks while the brush is pressed, the axis goes a shorter way than
// the mark: the press is held back to the brush's limit along the axis, and listed.
func TestSteepAlongTheAxis(t *testing.T) {
	b := newBench()
	lag, err := brush.NewLag([]brush.Trail{{Press: 1, Lag: 1}, {Press: 2, Lag: 2}, {Press: 3, Lag: 1.2}, {Press: 4, Lag: 1.4}})
	if err != nil {
		t.Fatal(err)
	}
	b.layer.Brush.Lag = lag
	for _, limit := range []float64{0, 1} {
		b.layer.Brush.SteepestPress = limit
		p, problems := b.make(gesture(b.at(20, 30, 0), b.at(26, 30, 4), b.at(40, 30, 4), b.at(50, 30, 0)))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		moves := p.Strokes[0].Moves[1:]
		over := 0.0
		for i := range moves {
			way := 0.0
			for k := i + 1; k < len(moves); k++ {
				way += math.Hypot(plane.MM(moves[k].X-moves[k-1].X), plane.MM(moves[k].Y-moves[k-1].Y))
				over = math.Max(over, plane.MM(moves[i].Z-moves[k].Z)-way)
			}
		}
		listed := 0
		for _, r := range p.Remarks {
			if r.Reason == stroke.TooSteep && r.Area > 0 {
				listed++
			}
		}
		if limit == 0 && (over < 0.1 || listed > 0) || limit == 1 && (over > 0.004 || listed != 1) {
			t.Errorf("limit %g: up to %.3f mm deeper than the way, %d listed", limit, over, listed)
		}
	}
}
