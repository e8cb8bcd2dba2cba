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

// A dry mark of 1 mm spreads by 2√(D·60·1 mm/feed). Of a stroke that goes on more
// slowly, each part spreads by its own feed; where the mark rests the fastest
// counts, and feeds that were not measured as the nearest that was.
func TestSpreads(t *testing.T) {
	program := "G21\nG90\nG94\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F100\nG1 X10 F600\nX20 F1200\nX30 F300\nX40 F2400\nX50 F60\nG1 Z5 F300\nM2\n"
	path, faults := proof.Read("feeds.nc", []byte(program))
	if faults != nil {
		t.Fatal(faults)
	}
	const rate = 0.006
	at := func(feed float64) float64 { return 1 + 2*math.Sqrt(rate*60/feed) }
	plain, err := proof.NewBrush([]proof.Rung{{Press: 1, Width: at(600)}})
	if err != nil {
		t.Fatal(err)
	}
	brush := plain.Spreads(proof.Spreading{Rate: rate, Feed: 600, Slowest: 300, Fastest: 1200})
	for i, want := range []float64{at(600), at(1200), at(300), at(1200), at(300)} {
		x := 10 * float64(i)
		found := false
		marks := path.Marks(brush)[0]
		for k := 1; k < len(marks); k++ {
			if a, b := marks[k-1], marks[k]; a.X == x && b.X == x+10 {
				found = true
				if math.Abs(a.Width-want) > 1e-9 || math.Abs(b.Width-want) > 1e-9 {
					t.Errorf("from %g mm: %.6f and %.6f mm wide, want %.6f", x, a.Width, b.Width, want)
				}
			}
		}
		if !found {
			t.Errorf("no mark from %g mm", x)
		}
	}
	if s := proof.Measure(path, proof.Timing{}, brush).Strokes[0]; math.Abs(s.Widest-at(300)) > 1e-9 || math.Abs(s.Narrowest-at(1200)) > 1e-9 {
		t.Errorf("%+v", s)
	}
	if got := proof.Measure(path, proof.Timing{}, brush.NoSlower(1200)).Strokes[0]; math.Abs(got.Widest-at(1200)) > 1e-9 {
		t.Errorf("no slower than 1200 mm/min: %g mm", got.Widest)
	}
	if got := proof.Measure(path, proof.Timing{}, plain).Strokes[0].Widest; got != at(600) {
		t.Errorf("without spreading %g mm", got)
	}
}
