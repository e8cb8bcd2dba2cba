package joining

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"mahlstick/runner/vector"
)

// looseGrid draws small squares of loose segments, shuffled and reversed.
func looseGrid(segments int) []vector.XY {
	random := rand.New(rand.NewPCG(3, 4))
	n := segments / 4
	columns := int(math.Ceil(math.Sqrt(float64(n))))
	pairs := make([][2]vector.XY, 0, 4*n)
	for i := range n {
		x, y := float64(i%columns)*2-5000, float64(i/columns)*2-5000
		p := [4]vector.XY{{X: x, Y: y}, {X: x + 1, Y: y}, {X: x + 1, Y: y + 1}, {X: x, Y: y + 1}}
		for k := range p {
			q := [2]vector.XY{p[k], p[(k+1)%4]}
			if random.IntN(2) == 0 {
				q[0], q[1] = q[1], q[0]
			}
			q[0].X += random.Float64() * 0.02
			pairs = append(pairs, q)
		}
	}
	random.Shuffle(len(pairs), func(i, j int) { pairs[i], pairs[j] = pairs[j], pairs[i] })
	out := make([]vector.XY, 0, 2*len(pairs))
	for _, p := range pairs {
		out = append(out, p[0], p[1])
	}
	return out
}

func joinLoose(points []vector.XY) (outlines, loose int) {
	lines := make([]Line, 0, len(points)/2)
	for i := 0; i < len(points); i += 2 {
		lines = append(lines, Line{Points: points[i : i+2 : i+2], Order: int32(i)})
	}
	joined := Join(lines, 0.05)
	for range joined.Outlines {
		outlines++
	}
	return outlines, joined.LooseCount
}

// BenchmarkJoin joins loose segments with gaps, drawn in random order, to
// squares. x-linear is the cost of a segment among a million over its cost
// among 250,000: 1 would be linear.
func BenchmarkJoin(b *testing.B) {
	few, many := looseGrid(250_000), looseGrid(1_000_000)
	short, long := time.Hour, time.Hour
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		a, looseA := joinLoose(few)
		middle := time.Now()
		c, looseC := joinLoose(many)
		short = min(short, middle.Sub(start))
		long = min(long, time.Since(middle))
		if a != len(few)/8 || c != len(many)/8 || looseA+looseC != 0 {
			b.Fatal(a, c, looseA, looseC)
		}
	}
	b.ReportMetric(float64(long)/float64(short)*float64(len(few))/float64(len(many)), "x-linear")
	b.ReportMetric(float64(long.Nanoseconds())/float64(len(many)/2), "ns/segment")
}
