package proof_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/runner/proof"
)

// towed reads a program that goes along points (x, y) at one press, with a mark
// that trails.
func towed(t *testing.T, lag float64, points [][2]float64) []proof.Mark {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "G21\nG90\nG94\nG0 Z5\nG0 X%.4f Y%.4f\nG1 Z-2 F300\n", points[0][0], points[0][1])
	for _, p := range points[1:] {
		fmt.Fprintf(&b, "G1 X%.4f Y%.4f F600\n", p[0], p[1])
	}
	b.WriteString("G1 Z5 F300\nM2\n")
	path, problems := proof.Read("towed.nc", []byte(b.String()))
	if problems != nil {
		t.Fatal(problems)
	}
	brush, err := proof.NewBrush([]proof.Rung{{Press: 2, Width: 1}})
	if err != nil {
		t.Fatal(err)
	}
	brush, err = brush.Towed([]proof.Trail{{Press: 0, Lag: lag}})
	if err != nil {
		t.Fatal(err)
	}
	marks := path.Marks(brush)
	if len(marks) != 1 {
		t.Fatalf("%d strokes", len(marks))
	}
	return marks[0]
}

// Along a straight line the mark stays where it is until the lag is taken up,
// then follows at its distance.
func TestTowedStraight(t *testing.T) {
	marks := towed(t, 3, [][2]float64{{10, 10}, {40, 10}})
	first, last := marks[0], marks[len(marks)-1]
	if first.X != 10 || math.Abs(last.X-37) > 1e-9 || last.Y != 10 || last.Width != 1 {
		t.Errorf("the mark goes from %+v to %+v", first, last)
	}
}

// After a turn by a right angle the mark follows the tractrix, the curve whose
// tangent has the same length up to an asymptote: with the lag as unit it is at
// (s - tanh s, sech s) when the handle is at s (E. H. Lockwood, A Book of
// Curves, 1961, from memory). It misses the corner by the least of
// √((s - tanh s)² + sech² s): 0.6627 of the lag.
func TestTowedRoundACorner(t *testing.T) {
	const lag = 3.0
	marks := towed(t, lag, [][2]float64{{10, 10}, {40, 10}, {40, 60}})
	miss, worst := math.Inf(1), 0.0
	for _, m := range marks {
		miss = min(miss, math.Hypot(m.X-40, m.Y-10))
		if m.X <= 37 {
			continue
		}
		// sech s = (40 - x)/λ gives s; the height tells how true it is.
		u := (40 - m.X) / lag
		s := math.Acosh(1 / u)
		if u < 0.01 {
			continue
		}
		worst = max(worst, math.Abs(m.Y-10-lag*(s-math.Tanh(s))))
	}
	if math.Abs(miss/lag-0.6627) > 0.002 {
		t.Errorf("the corner is missed by %.4f of the lag", miss/lag)
	}
	if worst > 0.02 {
		t.Errorf("the mark is %.4f mm off the tractrix", worst)
	}
}

// Round a circle of radius R the mark ends on one of √(R²-λ²).
func TestTowedRoundACircle(t *testing.T) {
	const radius, lag = 8.0, 3.0
	var points [][2]float64
	for i := range 1441 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 360)
		points = append(points, [2]float64{30 + radius*cos, 30 + radius*sin})
	}
	marks := towed(t, lag, points)
	last := marks[len(marks)-1]
	if got, want := math.Hypot(last.X-30, last.Y-30), math.Sqrt(radius*radius-lag*lag); math.Abs(got-want) > 0.003 {
		t.Errorf("the mark runs on a radius of %.4f mm, want %.4f", got, want)
	}
}

func TestTowedRefuses(t *testing.T) {
	b, err := proof.NewBrush([]proof.Rung{{Press: 2, Width: 1}})
	if err != nil {
		t.Fatal(err)
	}
	for _, trails := range [][]proof.Trail{{{Press: 1, Lag: -1}}, {{Press: math.NaN(), Lag: 1}}, {{Press: 2, Lag: 1}, {Press: 2, Lag: 3}}} {
		if _, err := b.Towed(trails); err == nil {
			t.Errorf("%v is taken", trails)
		}
	}
}

// Led past the edge of the sheet, a brush fails its check though its mark does
// not.
func TestLedOffTheSheet(t *testing.T) {
	program := "G21\nG90\nG94\nG0 Z5\nG0 X10 Y10\nG1 Z-2 F300\nG1 X%g F600\nG1 Z5 F300\nM2\n"
	b, err := proof.NewBrush([]proof.Rung{{Press: 2, Width: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if b, err = b.Towed([]proof.Trail{{Press: 0, Lag: 3}}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		end float64
		ok  bool
	}{{49.9, true}, {50.1, false}} {
		path, _ := proof.Read("off.nc", []byte(fmt.Sprintf(program, c.end)))
		limits := proof.Limits{Sheet: proof.Rect{MaxX: 50, MaxY: 50}, Margin: 1, Brush: b}
		seen := false
		for _, o := range proof.Check(path, limits) {
			switch o.Name {
			case proof.OnSheet:
				if !o.OK {
					t.Errorf("to X %g: %+v", c.end, o)
				}
			case proof.Ahead:
				seen = true
				if o.OK != c.ok {
					t.Errorf("to X %g: %+v", c.end, o)
				}
			}
		}
		if !seen {
			t.Error("no check of the way ahead")
		}
	}
}
