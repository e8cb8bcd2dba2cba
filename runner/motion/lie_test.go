package motion_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
)

// A sheet that is turned and grown about a point lies where trigonometry says,
// however it was laid, and the way back leads back.
func TestFoundSheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := model.Sheet{Width: 210, Height: 297,
			Lay: model.Corner(rapid.IntRange(0, 3).Draw(t, "lay")), Turned: rapid.IntRange(0, 3).Draw(t, "turned")}
		turn := rapid.Float64Range(-5, 5).Draw(t, "turn") * math.Pi / 180
		gx, gy := rapid.Float64Range(0.99, 1.01).Draw(t, "growth"), rapid.Float64Range(0.99, 1.01).Draw(t, "growth")
		dx, dy := rapid.Float64Range(-20, 20).Draw(t, "shift"), rapid.Float64Range(-20, 20).Draw(t, "shift")
		sin, cos := math.Sincos(turn)
		lie := motion.Lie{Seat: &seating.Map{XX: cos * gx, XY: -sin * gy, YX: sin * gx, YY: cos * gy, X: dx, Y: dy}}
		stopped, found := motion.NewFrame(&s, motion.Lie{}), motion.NewFrame(&s, lie)
		p := plane.At(rapid.Float64Range(0, 210).Draw(t, "x"), rapid.Float64Range(0, 297).Draw(t, "y"))
		x, y := stopped.ToMachine(p).MM()
		x, y = gx*x, gy*y
		wantX, wantY := x*cos-y*sin+dx, x*sin+y*cos+dy
		gotX, gotY := found.ToMachine(p).MM()
		if math.Abs(gotX-wantX) > 0.00006 || math.Abs(gotY-wantY) > 0.00006 {
			t.Fatalf("%v lies at %g, %g and not at %g, %g", p, gotX, gotY, wantX, wantY)
		}
		back := found.ToSheet(found.ToMachine(p))
		if d := plane.Distance(p, back); d > 2 {
			t.Fatalf("%v comes back as %v", p, back)
		}
	})
}

// The place to rest moves with a lost zero, and stays within the reach.
func TestLostZero(t *testing.T) {
	b := newBench()
	b.machine.RestX, b.machine.RestY = 0, 317
	for _, zero := range [][2]float64{{0, 0}, {-3.25, 12.5}, {40, -7.0004}} {
		plan, problems := motion.Make(nil, &b.layer, &b.sheet, &b.machine, motion.Lie{ZeroX: zero[0], ZeroY: zero[1]})
		x, y := plane.MM(plan.Rest.X)-zero[0], plane.MM(plan.Rest.Y)-zero[1]
		if len(problems) > 0 || x < 0 || x > 0.001 || math.Abs(y-317) > 0.0005 {
			t.Errorf("zero at %v: rests at %g, %g of the old zero, %v", zero, x, y, problems)
		}
	}
}
