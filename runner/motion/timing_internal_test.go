package motion

import (
	"math"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// Uniform acceleration; L. Biagiotti, C. Melchiorri, Trajectory Planning for
// Automatic Machines and Robots, 2008, ch. 3 (numbers recomputed).
func TestMoveTime(t *testing.T) {
	for _, test := range []struct {
		name                    string
		d, v0, v1, limit, a     float64
		seconds, top, tolerance float64
	}{
		{"100 mm from rest to rest: d/v + v/a", 100, 0, 0, 15, 100, 6.8166666667, 15, 1e-9},
		{"without acceleration", 100, 0, 0, 15, 0, 6.6666666667, 15, 1e-9},
		{"too short to reach the feed: 2√(d/a)", 1, 0, 0, 15, 100, 0.2, 10, 1e-12},
		{"just reached", 2.25, 0, 0, 15, 100, 0.3, 15, 1e-12},
		{"10 mm", 10, 0, 0, 15, 100, 0.8166666667, 15, 1e-9},
		{"from the feed to rest", 100, 15, 0, 15, 100, 6.7416666667, 15, 1e-9},
		{"from 5 to 10 mm/s over 3 mm", 3, 5, 10, 20, 100, 0.230788655, 19.039433, 1e-6},
		{"nothing", 0, 0, 0, 15, 100, 0, 0, 0},
		{"too short for the change of speed", 1, 0, 20, 30, 100, 0.1, 20, 1e-12},
	} {
		seconds, top := MoveTime(test.d, test.v0, test.v1, test.limit, test.a)
		near(t, test.name, seconds, test.seconds, test.tolerance)
		near(t, test.name+", top", top, test.top, test.tolerance)
	}
}

// The circle that touches both legs (no source; geometry recomputed).
func TestCornerSpeed(t *testing.T) {
	for _, test := range []struct{ degrees, speed float64 }{{90, 3.474344}, {135, 7.790081}, {45, 1.760560}} {
		half := math.Sin(test.degrees / 2 * math.Pi / 180)
		near(t, "corner speed", CornerSpeed(0.05, 100, half), test.speed, 1e-6)
	}
	if got := CornerSpeed(0.05, 100, 1); !math.IsInf(got, 1) {
		t.Errorf("a straight path is a corner of %v mm/s", got)
	}
	if got := CornerSpeed(0.05, 100, 0); got != 0 {
		t.Errorf("turning back is a corner of %v mm/s", got)
	}
}

func TestHalfSin(t *testing.T) {
	at := func(x, y, z float64) Move { return Move{X: plane.Snap(x), Y: plane.Snap(y), Z: plane.Snap(z)} }
	for _, test := range []struct {
		a, b, c Move
		degrees float64 // between the legs
	}{
		{at(0, 0, 0), at(10, 0, 0), at(20, 0, 0), 180},
		{at(0, 0, 0), at(10, 0, 0), at(10, 5, 0), 90},
		{at(0, 0, 0), at(10, 0, 0), at(10, 0, -5), 90},
		{at(0, 0, 0), at(10, 0, 0), at(0, 0, 0), 0},
		{at(0, 0, 0), at(10, 0, 0), at(0, 10, 0), 45},
		{at(0, 0, 0), at(10, 0, 0), at(20, 10, 0), 135},
	} {
		near(t, "half sine", halfSin(test.a, test.b, test.c), math.Sin(test.degrees/2*math.Pi/180), 1e-9)
	}
}

func planner100() *planner {
	curve, err := brush.Taper(3, 6, 0)
	if err != nil {
		panic(err)
	}
	return newPlanner(&model.Layer{Feed: 900, Brush: &model.Brush{SafePress: 6, Curve: curve}}, &model.Sheet{Width: 210, Height: 297},
		&model.Machine{TravelFeed: 3000, FastestFeed: 3000, LoweringFeed: 300, ZFeed: 600, Acceleration: 100, SafeHeight: 5, Decimals: 4, ReachX: 300, ReachY: 300, ReachZ: 40}, Lie{})
}

func TestPathTime(t *testing.T) {
	m := planner100()
	line := []Move{{}, {X: 50 * plane.PerMM, Feed: 900}, {X: 100 * plane.PerMM, Feed: 900}}
	near(t, "a line in two pieces takes as long as in one", m.timer.path(line), 6.8166666667, 1e-9)

	// A corner of 90 degrees is passed at 3.474 mm/s: two moves of 50 mm, each
	// between rest and that.
	corner := []Move{{}, {X: 50 * plane.PerMM, Feed: 900}, {X: 50 * plane.PerMM, Y: 50 * plane.PerMM, Feed: 900}}
	v := 3.474344
	half := (15-0)/100.0 + (15-v)/100.0 + (50-(2*15*15-v*v)/200)/15
	near(t, "a corner", m.timer.path(corner), 2*half, 1e-6)

	// A hundred moves of 0.01 mm: 1 mm from rest to rest never reaches 15 mm/s.
	var short []Move
	for i := range int32(101) {
		short = append(short, Move{X: 100 * i, Feed: 900})
	}
	near(t, "many short moves", m.timer.path(short), 0.2, 1e-9)

	// The feed falls to 5 mm/s for 10 mm: there it is kept, and reached in time.
	slow := []Move{{}, {X: 50 * plane.PerMM, Feed: 900}, {X: 60 * plane.PerMM, Feed: 300}, {X: 110 * plane.PerMM, Feed: 900}}
	fast, _ := MoveTime(50, 0, 5, 15, 100)
	near(t, "a slow piece", m.timer.path(slow), 2*fast+2, 1e-9)
	near(t, "nothing", m.timer.path(line[:1]), 0, 0)
}

// NISTIR 6556, 2.1.2.5 and 2.1.2.6: the rate runs along the path in space. A
// turn of a helix of radius 10 and pitch 5 at 900 mm/min is 63.030483 mm long
// and takes 4.202032 s.
func TestRateRunsAlongThePathInSpace(t *testing.T) {
	m := planner100()
	m.machine.Acceleration = 0
	moves := []Move{{X: 10 * plane.PerMM}}
	length := 0.0
	const n = 1000
	for i := 1; i <= n; i++ {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		moves = append(moves, Move{X: plane.Snap(10 * c), Y: plane.Snap(10 * s), Z: plane.Snap(-5 * float64(i) / n), Feed: 900})
		length += distance(moves[i-1], moves[i])
	}
	// Points on the grid, and chords for arcs, cost some 1e-5 of the length.
	near(t, "length", length, 63.030483, 63*2e-5)
	near(t, "time", m.timer.path(moves), 4.202032, 4.2*2e-5)
}
