package squares_test

import (
	"math"
	"testing"

	"mahlstick/runner/scan/squares"
)

// A straight line through (0, 1), (1, 3), (2, 4) and (3, 4) is 1.5 + x, and with a scatter of 1
// its terms have the variances Σx²/D and n/D with D = nΣx² - (Σx)² = 20 (closed forms).
func TestLine(t *testing.T) {
	s := squares.New(2)
	for x, y := range []float64{1, 3, 4, 4} {
		s.Add([]float64{1, float64(x)}, y, 1)
	}
	k, v, ok := s.Solve()
	if !ok || math.Abs(k[0]-1.5) > 1e-12 || math.Abs(k[1]-1) > 1e-12 || math.Abs(v[0]-0.7) > 1e-12 || math.Abs(v[1]-0.2) > 1e-12 {
		t.Errorf("%v, variances %v", k, v)
	}
}

// What the equations leave free cannot be solved, unless it is held.
func TestFree(t *testing.T) {
	s := squares.New(2)
	s.Add([]float64{1, 0}, 3, 1)
	if _, _, ok := s.Solve(); ok {
		t.Error("an unknown without equations was found")
	}
	s.Hold(1, 7, 1e-3)
	if k, _, ok := s.Solve(); !ok || math.Abs(k[0]-3) > 1e-9 || math.Abs(k[1]-7) > 1e-9 {
		t.Error(k)
	}
}
