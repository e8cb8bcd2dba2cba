package stroke_test

import (
	"fmt"
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// reeds outlines strokes that swell and bend, with so many edges in all and
// each.
func reeds(edges, each int) *region.Result {
	var in []region.Contour
	n := edges / each
	side := int(math.Ceil(math.Sqrt(float64(n))))
	for k := range n {
		x0, y0 := float64(k%side)*9, float64(k/side)*6
		at := func(t, s float64) plane.Point {
			w := 0.08 + 0.9*math.Sin(math.Pi*t)
			return plane.At(x0+40*t, y0+8*math.Sin(3*t+x0)+s*w)
		}
		var ring []plane.Point
		half := each / 2
		for i := range half {
			ring = append(ring, at(float64(i)/float64(half), -1))
		}
		for i := half; i > 0; i-- {
			ring = append(ring, at(float64(i)/float64(half), 1))
		}
		in = append(in, region.Contour{Identity: contour.Identity{Shape: k}, Points: ring})
	}
	got, problems := region.Build(in, region.Options{})
	if len(problems) > 0 {
		panic(problems[0])
	}
	return got
}

func BenchmarkMake(b *testing.B) {
	for _, bb := range []struct {
		name   string
		drawn  *region.Result
		widest float64
	}{
		{"reeds-10000", reeds(10000, 200), 2.4},
		{"reeds-100000", reeds(100000, 200), 2.4},
		{"filled-100000", reeds(100000, 200), 0.8},
		{"disc-40mm", regionsOf(disc(0, 0, 20)), 2.4},
	} {
		n := 0
		for _, r := range bb.drawn.Regions {
			for _, ring := range r.Rings {
				n += len(ring)
			}
		}
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/workers-%d", bb.name, workers), func(b *testing.B) {
				l := layerWith(0.2, bb.widest)
				b.ReportAllocs()
				for b.Loop() {
					if _, problems := stroke.Make(stroke.Drawn{Closed: bb.drawn}, l, stroke.Options{Workers: workers}); len(problems) > 0 {
						b.Fatal(problems)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/edge")
			})
		}
	}
}
