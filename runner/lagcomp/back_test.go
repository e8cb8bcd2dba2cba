package lagcomp_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// outAndBack draws a stroke that goes out into a corner and comes back the same
// way, with the same presses, before it goes on.
func outAndBack(heading, turn, long, deep, atTip float64) (points []stroke.Point, tip stroke.Point) {
	const n = 12
	x, y := 60.0, 60.0
	for i := range n {
		s := float64(i) / n * 20
		points = append(points, at(x+s*math.Cos(heading), y+s*math.Sin(heading), deep*(0.2+0.8*float64(i)/n)))
	}
	x, y = x+20*math.Cos(heading), y+20*math.Sin(heading)
	branch := func(i int) stroke.Point {
		t := float64(i) / n
		return at(x+t*long*math.Cos(heading+turn), y+t*long*math.Sin(heading+turn), deep+t*(atTip-deep))
	}
	for i := range n {
		points = append(points, branch(i))
	}
	tip = branch(n)
	for i := n; i >= 0; i-- {
		points = append(points, branch(i))
	}
	return append(points, at(x+15*math.Cos(heading-turn), y+15*math.Sin(heading-turn), deep/2)), tip
}

// Where a stroke turns back in a corner, the axis swings half round the mark,
// and the mark, towed by a rigid arm, paints the corner to its tip and the way
// back: whatever the corner, the length, and how quickly the lag changes on the way.
func TestTurnsBackInACorner(t *testing.T) {
	swells := swelling(t)
	rapid.Check(t, func(t *rapid.T) {
		lag := rapid.SampledFrom([]brush.Lag{swells, brush.ConstantLag(0.8), brush.ConstantLag(3)}).Draw(t, "lag")
		deep := rapid.Float64Range(0.5, 4).Draw(t, "press")
		atTip := deep * rapid.SampledFrom([]float64{0, 0.02, 0.1, 0.6, 1}).Draw(t, "at the tip")
		points, tip := outAndBack(rapid.Float64Range(0, 6.28).Draw(t, "heading"), rapid.Float64Range(-3.1, 3.1).Draw(t, "turn"),
			rapid.Float64Range(0.3, 8).Draw(t, "length"), deep, atTip)
		steps := lagcomp.AxisPath(points, lag)
		for i, s := range steps {
			x, y := plane.MM(s.Mark.X), plane.MM(s.Mark.Y)
			arm := math.Hypot(plane.MM(s.Axis.X)-x, plane.MM(s.Axis.Y)-y)
			if arm > lag.At(s.Mark.Press)+2e-4 || off(points, x, y) > 0.0052 {
				t.Fatalf("step %d: arm %.4f mm, off by %.4f mm", i, arm, off(points, x, y))
			}
		}
		nearest, worst := math.Inf(1), 0.0
		follow(steps, lag.At, func(x, y, _, _, press float64) {
			worst = max(worst, off(points, x, y))
			if d := math.Hypot(x-plane.MM(tip.X), y-plane.MM(tip.Y)); d < nearest {
				nearest = d
			}
		})
		// The mark may cut the turn by 0.005 mm, as any corner of a flattened curve.
		if nearest > 0.02 || worst > 0.03 {
			t.Fatalf("the mark stays %.4f mm from the tip, and is up to %.4f mm off the way", nearest, worst)
		}
	})
}

// A half turn with a stiff lag is swung on an arc: each chord stays within
// 0.005 mm of it.
func TestHalfTurnIsSwung(t *testing.T) {
	for _, trail := range []float64{0.5, 2, 6} {
		t.Run(fmt.Sprint(trail), func(t *testing.T) {
			points := []stroke.Point{at(10, 10, 2), at(30, 10, 2), at(10, 10, 2)}
			swung := 0
			var last lagcomp.Step
			for i, s := range lagcomp.AxisPath(points, brush.ConstantLag(trail)) {
				x, y := plane.MM(s.Mark.X), plane.MM(s.Mark.Y)
				if i > 0 && math.Abs(x-30) < 0.02 && s.MarkRests {
					swung++
					mid := math.Hypot((plane.MM(s.Axis.X)+plane.MM(last.Axis.X))/2-x, (plane.MM(s.Axis.Y)+plane.MM(last.Axis.Y))/2-y)
					if swung > 1 && trail-mid > 0.0055+0.007 { // and the mark moves by its share of the turn
						t.Errorf("a chord passes %.4f mm from the mark, the lag is %g mm", mid, trail)
					}
				}
				last = s
			}
			if want := int(math.Pi / 2 / math.Sqrt(2*0.005/trail)); swung < want {
				t.Errorf("swung in %d steps, want at least %d", swung, want)
			}
		})
	}
}
