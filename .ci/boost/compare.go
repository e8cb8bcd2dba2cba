// Command compare measures the axis stage, cleaning of the contours included,
// against the segment Voronoi diagram of Boost.Polygon, on the same segments,
// region by region, in the same run. It prints a table and fails where the
// stage is slower than it promises to be.
//
//	apt-get install libboost-dev g++
//	g++ -O2 -o /tmp/diagram .ci/boost/diagram.cpp
//	go run .ci/boost/compare.go /tmp/diagram
package main

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: go run .ci/boost/compare.go DIAGRAM")
		os.Exit(2)
	}
	dir, err := os.MkdirTemp("", "boost")
	check(err)
	defer os.RemoveAll(dir)
	inputs := []struct {
		name     string
		contours []region.Contour
	}{
		{"strokes", strokes(10_000)},
		{"strokes", strokes(100_000)},
		{"strokes", strokes(1_000_000)},
		{"one polygon", polygon(6_000)},
		{"one polygon", polygon(100_000)},
		{"one polygon", polygon(400_000)},
	}
	fmt.Println("input          edges   Boost ns/edge   cleaning   axis   ratio on one core   on two")
	slow := false
	each := map[string][]float64{} // ns an edge on one core, by input
	for _, in := range inputs {
		result, problems := region.Build(in.contours, region.Options{})
		if problems.HasErrors() {
			check(fmt.Errorf("%v", problems))
		}
		edges := 0
		for _, r := range result.Regions {
			for _, ring := range r.Rings {
				edges += len(ring)
			}
		}
		path := filepath.Join(dir, "regions")
		check(write(path, result.Regions))
		boost := best(func() float64 {
			out, err := exec.Command(os.Args[1], path).Output()
			check(err)
			var seconds float64
			var n int
			_, err = fmt.Sscan(string(out), &seconds, &n)
			check(err)
			return seconds
		})
		clean := best(func() float64 {
			start := time.Now()
			region.Build(in.contours, region.Options{})
			return time.Since(start).Seconds()
		})
		one := best(func() float64 { return axes(result.Regions, 1) })
		two := best(func() float64 { return axes(result.Regions, 2) })
		ns := 1e9 / float64(edges)
		ratio, ratio2 := (clean+one)/boost, (clean+two)/boost
		fmt.Printf("%-12s %7d %15.0f %10.0f %6.0f %19.3f %8.3f\n", in.name, edges, boost*ns, clean*ns, one*ns, ratio, ratio2)
		slow = slow || ratio > 1.5
		each[in.name] = append(each[in.name], (clean+one)*ns)
		if in.name == "strokes" {
			fmt.Printf("%28s axis on two cores %.2f times one\n", "", one/two)
		}
	}
	for _, name := range []string{"strokes", "one polygon"} {
		ns := each[name]
		fmt.Printf("%s: an edge of the largest costs %.2f times one of the smallest\n", name, ns[len(ns)-1]/ns[0])
	}
	if slow {
		fmt.Println("slower than 1.5 of Boost's time")
		os.Exit(1)
	}
}

func check(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// best of three runs.
func best(f func() float64) float64 {
	runs := []float64{0, 0, 0}
	for i := range runs {
		runtime.GC()
		runs[i] = f()
	}
	return slices.Min(runs)
}

// axes makes the axes of all regions with some workers and returns the seconds.
func axes(regions []region.Region, workers int) float64 {
	start := time.Now()
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			var b axis.Builder
			for i := w; i < len(regions); i += workers {
				_, err := b.Medial(regions[i], 0.02)
				check(err)
			}
		})
	}
	wait.Wait()
	return time.Since(start).Seconds()
}

func write(path string, regions []region.Region) error {
	out := []byte{}
	put := func(n int) { out = binary.NativeEndian.AppendUint32(out, uint32(int32(n))) }
	put(len(regions))
	for _, r := range regions {
		put(len(r.Rings))
		for _, ring := range r.Rings {
			put(len(ring))
			for _, p := range ring {
				put(int(p.X))
				put(int(p.Y))
			}
		}
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if _, err := f.Write(out); err != nil && err != io.EOF {
		return err
	}
	return f.Close()
}

// strokes are swelling strokes along waves, of some 250 edges each.
func strokes(n int) []region.Contour {
	var out []region.Contour
	for i := 0; n > 0; i++ {
		x0, y0 := float64(i%40)*12, float64(i/40)*6
		width := 0.8 + 0.05*float64(i%20)
		var left, right []plane.Point
		for s := 0.0; s <= 10; s += 0.09 {
			dx, dy := 1.0, 0.6*math.Cos(s/2)
			l := math.Hypot(dx, dy)
			x, y := x0+s, y0+1.2*math.Sin(s/2)
			r := width / 2 * (0.6 + 0.4*math.Sin(0.9*s))
			right = append(right, plane.At(x+dy/l*r, y-dx/l*r))
			left = append(left, plane.At(x-dy/l*r, y+dx/l*r))
		}
		last := len(left) - 1
		pts := append(right, cap(right[last], left[last])...)
		slices.Reverse(left)
		pts = append(append(pts, left...), cap(left[last], right[0])...)
		out = append(out, region.Contour{Points: pts, Shape: i})
		n -= len(pts)
	}
	return out
}

// cap is half a circle from p to q, its ends left out.
func cap(p, q plane.Point) []plane.Point {
	px, py := p.MM()
	qx, qy := q.MM()
	x, y := (px+qx)/2, (py+qy)/2
	a, r := math.Atan2(py-y, px-x), math.Hypot(qx-px, qy-py)/2
	var out []plane.Point
	const n = 12
	for i := 1; i < n; i++ {
		s, c := math.Sincos(a + math.Pi*float64(i)/n)
		out = append(out, plane.At(x+r*c, y+r*s))
	}
	return out
}

// polygon is one outline of n corners with waves of several lengths.
func polygon(n int) []region.Contour {
	pts := make([]plane.Point, n)
	size := 0.2 * math.Sqrt(float64(n))
	for i := range pts {
		t := 2 * math.Pi * float64(i) / float64(n)
		r := size * (1 + 0.3*math.Sin(7*t) + 0.1*math.Sin(61*t) + 0.03*math.Sin(509*t))
		pts[i] = plane.At(r*math.Cos(t), r*math.Sin(t))
	}
	return []region.Contour{{Points: pts}}
}
