package trial

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/measure"
)

// towed is where the mark passes nearest to the corner of a path that turns by
// some degrees: it is pulled along the arm to the axis in small steps, and moves
// nowhere else. It shares nothing with the formulas.
func towed(turn, lag float64) float64 {
	const step = 1e-4
	sin, cos := math.Sincos(turn * math.Pi / 180)
	ax, ay := -10*lag, 0.0
	mx, my := ax-lag, ay
	nearest := math.Inf(1)
	move := func(dx, dy, length float64) {
		for s := 0.0; s < length; s += step {
			ax, ay = ax+dx*step, ay+dy*step
			d := math.Hypot(ax-mx, ay-my)
			mx, my = mx+(ax-mx)/d*(d-lag), my+(ay-my)/d*(d-lag)
			nearest = math.Min(nearest, math.Hypot(mx, my))
		}
	}
	move(1, 0, 10*lag)
	move(cos, sin, 6*lag)
	return nearest
}

// How far a towed mark misses a corner: against a simulation by small steps,
// and against 0.20, 0.41 and 0.66 lags at 30, 60 and 90 degrees (derived; the
// drag curve, tractrix).
func TestCornerMiss(t *testing.T) {
	published := map[float64]float64{30: 0.20, 60: 0.41, 90: 0.66}
	for _, turn := range cornerTurns {
		got := cornerMiss(turn, brush.ConstantLag(1.2), 3)
		if want := towed(turn, 1.2); math.Abs(got-want) > 0.001 {
			t.Errorf("at %g degrees %g mm, simulated %g mm", turn, got, want)
		}
		if want, ok := published[turn]; ok && math.Abs(got/1.2-want) > 0.006 {
			t.Errorf("at %g degrees %g lags, not %g", turn, got/1.2, want)
		}
	}
	if !math.IsNaN(cornerMiss(90, brush.Lag{}, 3)) {
		t.Error("without a measured lag nothing is expected")
	}
}

// A towed point goes round a circle of radius √(R² - lag²).
func TestRingDiameter(t *testing.T) {
	const lag, step = 1.2, 1e-4
	for _, radius := range measure.RingRadii {
		mx, my := radius, -lag
		for a := 0.0; a < 4*math.Pi; a += step / radius {
			sin, cos := math.Sincos(a)
			ax, ay := radius*cos, radius*sin
			d := math.Hypot(ax-mx, ay-my)
			mx, my = mx+(ax-mx)/d*(d-lag), my+(ay-my)/d*(d-lag)
		}
		if got, want := ringDiameter(radius, brush.ConstantLag(lag), 2), 2*math.Hypot(mx, my); math.Abs(got-want) > 0.002 {
			t.Errorf("radius %g mm: a diameter of %g mm, simulated %g mm", radius, got, want)
		}
	}
	if !math.IsNaN(ringDiameter(1, brush.ConstantLag(lag), 2)) {
		t.Error("a ring smaller than the lag is no ring")
	}
}
