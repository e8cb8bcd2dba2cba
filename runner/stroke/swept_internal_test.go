package stroke

import (
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// wiggle is a path of n points within a box, with steps of 1.5 mm, 9 mm wide.
func wiggle(n int, seed uint64) []axis.Point {
	r := rand.New(rand.NewPCG(seed, 2))
	var out []axis.Point
	x, y := 30.0, 20.0
	for range n {
		p := plane.At(x, y)
		out = append(out, axis.Point{X: p.X, Y: p.Y, R: 4.5 * plane.PerMM})
		x = min(max(x+3*r.Float64()-1.5, 5), 55)
		y = min(max(y+3*r.Float64()-1.5, 5), 35)
	}
	return out
}

func areaOf(regions []region.Region) float64 {
	sum := 0.0
	for _, r := range regions {
		for _, ring := range r.Rings {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				sum += float64(p.X)*float64(q.Y) - float64(q.X)*float64(p.Y)
			}
		}
	}
	return sum / 2 / plane.PerMM / plane.PerMM
}

// What a path that wiggles tighter than it is wide sweeps is the same at once and by
// parts. By parts the work grows little faster than the path.
func TestSweptByParts(t *testing.T) {
	for seed := range uint64(3) {
		rings := sweptRings(wiggle(60, seed))
		whole, ok := united(rings)
		parts, okParts := unitedByParts(rings)
		if a, b := areaOf(whole), areaOf(parts); !ok || !okParts || math.Abs(a-b) > 0.002 {
			t.Errorf("seed %d: %.4f mm² at once, %.4f mm² by parts", seed, a, b)
		}
	}
}
