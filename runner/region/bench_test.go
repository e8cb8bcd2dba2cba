package region_test

import (
	"fmt"
	"math"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// brushStroke outlines a swelling, bending stroke with n points.
func brushStroke(x, y, length float64, n int) []plane.Point {
	half := n / 2
	ring := make([]plane.Point, 0, n)
	at := func(t, side float64) plane.Point {
		w := 800 + 9000*math.Sin(math.Pi*t)
		return plane.Point{
			X: int32(x + length*t),
			Y: int32(y + length/5*math.Sin(3*t+x) + side*w),
		}
	}
	for i := range half {
		ring = append(ring, at(float64(i)/float64(half), -1))
	}
	for i := half; i > 0; i-- {
		ring = append(ring, at(float64(i)/float64(half), 1))
	}
	return ring
}

func strokes(segments, each int) []region.Contour {
	var out []region.Contour
	n := segments / each
	side := int(math.Ceil(math.Sqrt(float64(n))))
	for i := range n {
		out = append(out, region.Contour{Identity: contour.Identity{Shape: i}, Points: brushStroke(float64(i%side)*90000, float64(i/side)*60000, 400000, each)})
	}
	return out
}

// comb has teeth side by side, on a slant.
func comb(teeth int) []region.Contour {
	var ring []plane.Point
	for i := range int32(teeth) {
		x := i * 4000
		ring = append(ring, plane.Point{X: x, Y: 0}, plane.Point{X: x + 9000000, Y: 9000000}, plane.Point{X: x + 9002000, Y: 9000000}, plane.Point{X: x + 2000, Y: 1000})
	}
	ring = append(ring, plane.Point{X: int32(teeth) * 4000, Y: -20000}, plane.Point{X: 0, Y: -20000})
	return []region.Contour{{Points: ring}}
}

// chequers are squares that touch at their corners, as one outline after the
// other.
func chequers(side int) []region.Contour {
	var out []region.Contour
	for i := range side {
		for j := range side {
			if (i+j)%2 == 0 {
				out = append(out, region.Contour{Identity: contour.Identity{Shape: len(out), Rule: 1, Group: 1}, Points: square(int32(i)*10000, int32(j)*10000, 10000)})
			}
		}
	}
	return out
}

// holes is a sheet with n round holes.
func holes(n int) []region.Contour {
	side := int(math.Ceil(math.Sqrt(float64(n))))
	out := []region.Contour{{Points: square(-20000, -20000, int32(side+1)*20000)}}
	for i := range n {
		var ring []plane.Point
		for k := range 24 {
			a := float64(k) * math.Pi / 12
			ring = append(ring, plane.Point{X: int32(i%side)*20000 + int32(8000*math.Cos(a)), Y: int32(i/side)*20000 + int32(8000*math.Sin(a))})
		}
		out = append(out, region.Contour{Identity: contour.Identity{Shape: i + 1}, Points: ring})
	}
	return out
}

// star is one outline that crosses itself n times and more.
func star(n int) []region.Contour {
	var ring []plane.Point
	for i := range n {
		a := 2 * math.Pi * float64(i*(n/2-3)) / float64(n)
		ring = append(ring, plane.Point{X: int32(1e6 * math.Cos(a)), Y: int32(1e6 * math.Sin(a))})
	}
	return []region.Contour{{Points: ring}}
}

func BenchmarkBuild(b *testing.B) {
	for _, bb := range []struct {
		name string
		in   []region.Contour
	}{
		{"strokes-10000", strokes(10000, 200)},
		{"strokes-100000", strokes(100000, 200)},
		{"strokes-1000000", strokes(1000000, 200)},
		{"one-100000", strokes(100000, 100000)},
		{"comb-16000", comb(4000)},
		{"chequers-20000", chequers(100)},
		{"holes-100000", holes(100000 / 24)},
		{"star-401", star(401)},
	} {
		b.Run(bb.name, func(b *testing.B) {
			n := 0
			for _, c := range bb.in {
				n += len(c.Points)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, problems := region.Build(bb.in, region.Options{}); len(problems) > 0 {
					b.Fatal(problems)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/segment")
		})
	}
}

func ExampleBuild() {
	got, _ := region.Build([]region.Contour{
		{Identity: contour.Identity{Shape: 0}, Points: []plane.Point{{X: 0, Y: 0}, {X: 40000, Y: 0}, {X: 40000, Y: 40000}, {X: 0, Y: 40000}}},
		{Identity: contour.Identity{Shape: 1}, Points: []plane.Point{{X: 10000, Y: 10000}, {X: 20000, Y: 10000}, {X: 20000, Y: 20000}, {X: 10000, Y: 20000}}},
		{Identity: contour.Identity{Shape: 2}, Points: []plane.Point{{X: 50000, Y: 0}, {X: 70000, Y: 20000}, {X: 70000, Y: 0}, {X: 50000, Y: 20000}}},
	}, region.Options{})
	for _, s := range got.Shapes {
		fmt.Printf("shape %d: %g mm² in %d region(s), holes %v\n", s.Number, s.Area, s.Regions, s.Holes)
	}
	for _, m := range got.Repairs {
		fmt.Printf("contour %d: %v\n", m.Shape, m.Fault)
	}
	// Output:
	// shape 0: 15 mm² in 1 region(s), holes [1]
	// shape 2: 2 mm² in 2 region(s), holes []
	// contour 1: direction reversed
	// contour 2: outline crosses itself
}
