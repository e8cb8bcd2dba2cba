package proof_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/runner/proof"
)

// While a brush with play of 0.2 mm is lifted, its mark narrows only after the
// first 0.2 mm, and after that is that of a press deeper by 0.2 mm; pressed
// again, it widens only from where the press is as deep as the mark is.
func TestPlayed(t *testing.T) {
	program := "G21\nG90\nG94\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\n"
	for _, p := range [][2]float64{{10, 2}, {20, 1}, {30, 2}, {40, 0}} {
		program += fmt.Sprintf("G1 X%g Z%g F600\n", p[0], -p[1])
	}
	path, faults := proof.Read("play.nc", []byte(program+"G1 Z5 F300\nM2\n"))
	if faults != nil {
		t.Fatal(faults)
	}
	brush, err := proof.NewBrush([]proof.Rung{{Press: 0, Width: 0}, {Press: 4, Width: 4}})
	if err != nil {
		t.Fatal(err)
	}
	brush = brush.Played(0.2)
	marks := path.Marks(brush)
	if len(marks) != 1 {
		t.Fatalf("%d strokes", len(marks))
	}
	widthAt := func(x float64) float64 {
		for i := 1; i < len(marks[0]); i++ {
			if a, b := marks[0][i-1], marks[0][i]; a.X <= x && x <= b.X && b.X > a.X {
				return a.Width + (b.Width-a.Width)*(x-a.X)/(b.X-a.X)
			}
		}
		return math.NaN()
	}
	for x, want := range map[float64]float64{0: 1, 5: 1.5, 10: 2, 11: 2, 12: 2, 16: 1.6, 20: 1.2, 21: 1.2, 22: 1.2, 25: 1.5, 30: 2, 31: 2, 35: 1.2, 39.9: 0.22} {
		if got := widthAt(x); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %g mm the mark is %.6f mm wide, want %g", x, got, want)
		}
	}
	m := proof.Measure(path, proof.Timing{}, brush)
	if s := m.Strokes; len(s) != 1 || math.Abs(s[0].Length-40) > 1e-9 || s[0].Deepest != -2 || s[0].Widest != 2 || !strings.Contains(fmt.Sprint(m.Painted), "40") {
		t.Errorf("%+v", m)
	}
}
