package joining

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/vector"
)

func ringArea(p []vector.XY) float64 {
	sum := 0.0
	for i := range p {
		q := p[(i+1)%len(p)]
		sum += p[i].X*q.Y - p[i].Y*q.X
	}
	return math.Abs(sum) / 2
}

// shattered draws outlines and cuts them to lines, whose ends it moves by less
// than move (mm).
func shattered(t *rapid.T, move float64) (rings, lines [][]vector.XY) {
	jitter := rapid.Float64Range(-move, move)
	for k := range rapid.IntRange(1, 6).Draw(t, "rings") {
		n := rapid.IntRange(3, 20).Draw(t, "corners")
		ring := make([]vector.XY, n)
		for i := range ring {
			radius := rapid.Float64Range(8, 12).Draw(t, "radius")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring[i] = vector.XY{X: float64(k)*40 + radius*cos, Y: radius * sin}
		}
		rings = append(rings, ring)
		for i := 0; i < n; {
			run := min(rapid.IntRange(1, 5).Draw(t, "run"), n-i)
			line := make([]vector.XY, 0, run+1)
			for j := i; j <= i+run; j++ {
				line = append(line, ring[j%n])
			}
			for _, p := range []*vector.XY{&line[0], &line[run]} {
				p.X += jitter.Draw(t, "dx") / math.Sqrt2
				p.Y += jitter.Draw(t, "dy") / math.Sqrt2
			}
			if rapid.Bool().Draw(t, "turn round") {
				slices.Reverse(line)
			}
			lines = append(lines, line)
			i += run
		}
	}
	return rings, lines
}

// Outlines that are cut to lines, reversed, shuffled and moved by less
// than half the gap come back as they were.
func TestOutlinesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0.02, 0.05, 0.3}).Draw(t, "gap")
		move := rapid.SampledFrom([]float64{0, 1e-7, gap * 0.3}).Draw(t, "move")
		rings, parts := shattered(t, move)
		var lines []Line
		for i, p := range rapid.Permutation(parts).Draw(t, "order") {
			lines = append(lines, Line{Points: p, Order: int32(i)})
		}
		joined := Join(lines, gap)
		if joined.Len() != len(rings) || joined.LooseCount != 0 || joined.TooManyNear != nil {
			t.Fatalf("%d outlines of %d, %d loose ends", joined.Len(), len(rings), joined.LooseCount)
		}
		var want, got float64
		for _, r := range rings {
			want += ringArea(r)
		}
		for o := range joined.Outlines {
			if !o.Closed {
				t.Fatal("an outline is open")
			}
			got += ringArea(o.Points)
		}
		if math.Abs(got-want) > 1e-4+want*move {
			t.Fatalf("area %v, want %v", got, want)
		}
	})
}

// Looking at every point is the second opinion; points within a rounding of
// the radius may fall on either side.
func TestGridFindsWhatIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-3, 3)
		cell := rapid.SampledFrom([]float64{0.5, 1, 2}).Draw(t, "cell")
		n := rapid.IntRange(0, 60).Draw(t, "n")
		s := newGridIndex(cell, n)
		points := make([]vector.XY, n)
		for i := range points {
			points[i] = vector.XY{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")}
			s.add(points[i], int32(i%2))
		}
		p, radius := vector.XY{X: coordinate.Draw(t, "px"), Y: coordinate.Draw(t, "py")}, cell*rapid.Float64Range(0.01, 1).Draw(t, "radius")
		found := make([]int, n)
		s.near(p, 1, radius, func(k int32, _ float64) bool { found[k]++; return true })
		for i, q := range points {
			d := math.Sqrt(vector.Distance2(p, q)) / radius
			if found[i] > 1 || found[i] == 1 && (i%2 == 0 || d > 1+1e-9) || found[i] == 0 && i%2 == 1 && d < 1-1e-9 {
				t.Fatalf("point %d at %v of the radius found %d times", i, d, found[i])
			}
		}
		order := nearbyOrder(n, func(i int32) vector.XY { return points[i] })
		slices.Sort(order)
		for i, k := range order {
			if int(k) != i {
				t.Fatalf("order %v", order)
			}
		}
	})
}
