package region

import (
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/plane"
)

// TestSweepAgainstPairs compares the sweep with a comparison of all pairs.
func TestSweepAgainstPairs(t *testing.T) {
	simple := 0
	rapid.Check(t, func(t *rapid.T) {
		lattice := rapid.SampledFrom([]int{3, 8, 1000}).Draw(t, "lattice")
		ring, _ := tidy(rapid.SliceOfN(rapid.Custom(func(t *rapid.T) plane.Point {
			return plane.Point{X: int32(rapid.IntRange(0, lattice).Draw(t, "x")), Y: int32(rapid.IntRange(0, lattice).Draw(t, "y"))}
		}), 3, 12).Draw(t, "ring"))
		if ring == nil {
			return
		}
		want := true
		edges := segments([][]plane.Point{ring})
		for i := range edges {
			for j := range i {
				m := meet(edges[i], edges[j])
				next := i == j+1 || i == len(edges)-1 && j == 0
				want = want && (m == apart || m == atEnds && next)
			}
		}
		if isSimple(ring) != want {
			t.Fatalf("simple: %v", !want)
		}
		if want {
			simple++
		}
	})
	if simple == 0 {
		t.Error("no ring was simple")
	}
}

func TestSweepOnCombs(t *testing.T) {
	var ring []plane.Point
	for i := range int32(300) {
		ring = append(ring, plane.Point{X: 10 * i, Y: 0}, plane.Point{X: 10*i + 700, Y: 700 + i%3}, plane.Point{X: 10*i + 705, Y: 700}, plane.Point{X: 10*i + 5, Y: 1})
	}
	ring = append(ring, plane.Point{X: 3000, Y: -50}, plane.Point{X: 0, Y: -50})
	if !isSimple(ring) {
		t.Error("a comb is simple")
	}
	ring[402].X += 12 // the tip of a tooth crosses the next
	if isSimple(ring) {
		t.Error("a bent tooth crosses its neighbour")
	}
}
