package axis_test

import (
	"fmt"
	"math"
	"runtime"
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// strokes are brush strokes of some 250 edges each, in rows, n edges in all.
func strokes(n int) []region.Region {
	var out []region.Region
	for i := 0; n > 0; i++ {
		x, y := float64(i%40)*12, float64(i/40)*6
		r := regionOf(stroke(x, y, 10, 0.8+0.05*float64(i%20), 0.09))
		n -= len(r.Rings[0])
		out = append(out, r)
	}
	return out
}

func edgesOf(rs []region.Region) int {
	n := 0
	for _, r := range rs {
		for _, ring := range r.Rings {
			n += len(ring)
		}
	}
	return n
}

// BenchmarkStrokes makes the axes of many small regions in one builder.
func BenchmarkStrokes(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) { run(b, strokes(n)) })
	}
}

// BenchmarkPolygon makes the axis of one big region.
func BenchmarkPolygon(b *testing.B) {
	for _, n := range []int{6_000, 100_000, 400_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) { run(b, []region.Region{comet(n)}) })
	}
}

// comet is one polygon of about n edges: a ragged disc of waves on waves,
// with flattened round features of every size.
func comet(n int) region.Region {
	pts := make([][2]float64, n)
	size := math.Sqrt(float64(n)) * 0.2
	for i := range pts {
		t := 2 * math.Pi * float64(i) / float64(n)
		r := size * (1 + 0.3*math.Sin(7*t) + 0.1*math.Sin(61*t) + 0.03*math.Sin(509*t))
		pts[i] = [2]float64{r * math.Cos(t), r * math.Sin(t)}
	}
	return regionOf(ring(pts...))
}

func run(b *testing.B, rs []region.Region) {
	n := edgesOf(rs)
	var build axis.Builder
	b.ReportAllocs()
	runtime.GC()
	b.ResetTimer()
	for range b.N {
		for _, r := range rs {
			if _, err := build.Medial(r, 0.02); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/edge")
}

// BenchmarkAwkward makes the axes of inputs that are hard on methods like
// this one.
func BenchmarkAwkward(b *testing.B) {
	for _, c := range awkward() {
		b.Run(c.name, func(b *testing.B) { run(b, c.regions) })
	}
}

type awkwardCase struct {
	name    string
	regions []region.Region
}

func awkward() []awkwardCase {
	// A comb of 4,000 aligned teeth.
	const tooth = 2 * plane.PerMM / 10
	var teeth []plane.Point
	for i := range int32(4000) {
		x := i * tooth
		teeth = append(teeth, plane.Point{X: x, Y: 0}, plane.Point{X: x, Y: -5 * plane.PerMM}, plane.Point{X: x + tooth/2, Y: -5 * plane.PerMM}, plane.Point{X: x + tooth/2, Y: 0})
	}
	last := teeth[len(teeth)-1].X
	teeth = append(teeth, plane.Point{X: last, Y: 5 * plane.PerMM}, plane.Point{X: 0, Y: 5 * plane.PerMM})
	// A circle of 20,000 corners.
	var round [][2]float64
	for i := range 20000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 20000)
		round = append(round, [2]float64{100 * c, 100 * s})
	}
	// A square with each side in 5,000 pieces.
	const side = 5000
	var square []plane.Point
	for k, d := range [4][2]int32{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		x, y := [4]int32{0, side, side, 0}[k], [4]int32{0, 0, side, side}[k]
		for i := range int32(side) {
			square = append(square, plane.Point{X: 100 * (x + i*d[0]), Y: 100 * (y + i*d[1])})
		}
	}
	return []awkwardCase{
		{"comb", []region.Region{regionOf(teeth)}},
		{"circle", []region.Region{regionOf(ring(round...))}},
		{"square", []region.Region{regionOf(square)}},
	}
}
