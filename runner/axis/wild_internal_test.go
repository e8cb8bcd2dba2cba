package axis

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// simple untangles a random closed path by turning round what lies between
// two crossing edges until none cross; nil where edges overlap.
func simple(rng *rand.Rand, n int, span int32) []plane.Point {
	pts := make([]plane.Point, n)
	for i := range pts {
		pts[i] = plane.Point{X: rng.Int32N(span), Y: rng.Int32N(span)}
	}
	cross := func(a, b, c, d plane.Point) bool {
		return plane.Turn(a, b, c) > 0 != (plane.Turn(a, b, d) > 0) && plane.Turn(c, d, a) > 0 != (plane.Turn(c, d, b) > 0)
	}
	untangle := func() (done bool) {
		done = true
		for i := range n {
			for j := i + 2; j < n; j++ {
				if (j+1)%n != i && cross(pts[i], pts[i+1], pts[j], pts[(j+1)%n]) {
					slices.Reverse(pts[i+1 : j+1])
					done = false
				}
			}
		}
		return done
	}
	for range 50 * n {
		if untangle() {
			break
		}
	}
	if plane.Area2(pts) < 0 {
		slices.Reverse(pts)
	}
	return pts
}

func TestDiagramOfSimplePolygons(t *testing.T) {
	var b Builder
	var done buildCounts
	built := 0
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 3))
		ring := simple(rng, 3+rng.IntN(40), []int32{8, 30, 1000, 100000, plane.Limit}[rng.IntN(5)])
		if err := b.build(region.Region{Rings: [][]plane.Point{ring}}); err != nil {
			continue
		}
		built++
		check(t, &b.diagram)
		done.add(b.diagram.counts)
		if t.Failed() {
			t.Fatalf("seed %d: %v", seed, ring)
		}
	}
	t.Logf("%d built, %+v", built, done)
	if built < 1000 {
		t.Errorf("only %d built", built)
	}
}

// Curves on a grid: circles, flat arcs, both far from any origin and almost
// straight, where discs are worst determined.
func TestDiagramOfCurves(t *testing.T) {
	var b Builder
	var done buildCounts
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 4))
		n := 3 + rng.IntN(150)
		rx := math.Pow(10, 1+6*rng.Float64())
		ry := rx * math.Pow(10, -3*rng.Float64()*rng.Float64())
		x, y := int32((rng.Float64()-0.5)*1e8), int32((rng.Float64()-0.5)*1e8)
		wave := rng.Float64() * 0.3
		var ring []plane.Point
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			f := 1 + wave*math.Cos(6*math.Pi*float64(i)/float64(n))
			p := plane.Point{X: x + int32(math.Round(rx*f*c)), Y: y + int32(math.Round(ry*f*s))}
			if len(ring) == 0 || ring[len(ring)-1] != p {
				ring = append(ring, p)
			}
		}
		if err := b.build(region.Region{Rings: [][]plane.Point{ring}}); err != nil {
			continue
		}
		check(t, &b.diagram)
		done.add(b.diagram.counts)
		if t.Failed() {
			t.Fatalf("seed %d: %d corners, %.0f by %.0f", seed, len(ring), rx, ry)
		}
	}
	t.Logf("%+v", done)
}
