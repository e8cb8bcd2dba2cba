// Command compare measures the axis stage, cleaning of the contours included,
// against the segment Voronoi diagram of Boost.Polygon, on the same segments,
// region by region, in the same run. It prints tables and fails where the
// stage is slower, or takes more memory, than it promises; .ci/boost/run
// builds what it needs and starts it.
package main

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"

	"mahlstick/runner/axis"
	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// What is promised. Times are those of the whole stage, cleaning included.
const (
	mostOnOne     = 1.5  // of Boost's time, on one core
	mostOnTwo     = 0.8  // of Boost's time, on two cores
	mostGrowth    = 1.3  // of an edge among a million to one among ten thousand
	mostPolygon   = 1.5  // of an edge of a polygon of 400,000 to one of 6,000
	leastSpeedup  = 1.8  // of two cores on many regions
	mostBytes     = 1536 // of memory an edge, for one polygon
	mostAwkward   = 4.0  // times an ordinary edge
	runs          = 5    // of each; the median counts
	tolerance     = 0.02 // mm
	polygonOfPeak = 400_000
)

// missed tells of promises that did not hold.
var missed []string

func promise(what string, got float64, holds bool) {
	if !holds {
		missed = append(missed, fmt.Sprintf("%s: %.3g", what, got))
	}
}

type input struct {
	name     string
	contours []region.Contour
}

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: compare DIAGRAM (see .ci/boost/run)")
		os.Exit(2)
	}
	if os.Args[1] == "peak" {
		peak()
		return
	}
	against(os.Args[1])
	awkwards()
	sameBytes()
	out, err := exec.Command(os.Args[0], "peak").Output()
	check(err)
	var bytes float64
	_, err = fmt.Sscan(string(out), &bytes)
	check(err)
	fmt.Printf("one polygon of %d: at most %.0f bytes an edge\n", polygonOfPeak, bytes)
	promise("bytes an edge", bytes, bytes <= mostBytes)
	if len(missed) > 0 {
		fmt.Println("missed:", strings.Join(missed, "; "))
		os.Exit(1)
	}
}

// against compares with the library whose program is given.
func against(program string) {
	dir, err := os.MkdirTemp("", "boost")
	check(err)
	defer os.RemoveAll(dir)
	fmt.Println("input          edges   Boost ns/edge   cleaning   axis   ratio on one core   on two   axis on two")
	cost := map[string][]float64{} // ns an edge on one core, by input
	for _, in := range []input{
		{"strokes", strokes(10_000)},
		{"strokes", strokes(100_000)},
		{"strokes", strokes(1_000_000)},
		{"one polygon", polygon(6_000)},
		{"one polygon", polygon(100_000)},
		{"one polygon", polygon(400_000)},
	} {
		regions := cleaned(in.contours)
		path := filepath.Join(dir, "regions")
		check(write(path, regions))
		t := medians(func() float64 {
			out, err := exec.Command(program, path).Output()
			check(err)
			var seconds float64
			var n int
			_, err = fmt.Sscan(string(out), &seconds, &n)
			check(err)
			return seconds
		}, func() float64 {
			start := time.Now()
			cleaned(in.contours)
			return time.Since(start).Seconds()
		}, func() float64 { return axes(regions, 1) }, func() float64 { return axes(regions, 2) })
		boost, clean, one, two := t[0], t[1], t[2], t[3]
		ns := 1e9 / float64(edges(regions))
		ratio, ratio2, speedup := (clean+one)/boost, (clean+two)/boost, one/two
		fmt.Printf("%-12s %7d %15.0f %10.0f %6.0f %19.3f %8.3f %9.2f times\n",
			in.name, edges(regions), boost*ns, clean*ns, one*ns, ratio, ratio2, speedup)
		promise("on one core, of Boost's time", ratio, ratio <= mostOnOne)
		if len(regions) > 1 {
			promise("on two cores, of Boost's time", ratio2, ratio2 <= mostOnTwo)
			if one >= 0.1 { // a shorter run is over before the second core has woken
				promise("two cores to one", speedup, speedup >= leastSpeedup)
			}
		}
		cost[in.name] = append(cost[in.name], (clean+one)*ns)
	}
	for name, most := range map[string]float64{"strokes": mostGrowth, "one polygon": mostPolygon} {
		ns := cost[name]
		growth := ns[len(ns)-1] / ns[0]
		fmt.Printf("%s: an edge of the largest costs %.2f times one of the smallest\n", name, growth)
		promise("growth of "+name, growth, growth <= most)
	}
}

// awkwards compares inputs that are hard on geometry with as many ordinary
// edges.
func awkwards() {
	const tooth = 2000
	var comb, leaning, square []plane.Point
	for i := range int32(4000) {
		x := i * tooth
		comb = append(comb, plane.Point{X: x}, plane.Point{X: x, Y: -50000}, plane.Point{X: x + tooth/2, Y: -50000}, plane.Point{X: x + tooth/2})
	}
	comb = append(comb, plane.Point{X: 3999*tooth + tooth/2, Y: 50000}, plane.Point{Y: 50000})
	for i := int32(3999); i >= 0; i-- {
		x := 2 * tooth * i
		leaning = append(leaning, plane.Point{X: x + tooth, Y: 1000}, plane.Point{X: x + tooth + 9_000_000, Y: 9_000_000}, plane.Point{X: x + 9_000_000, Y: 9_000_000}, plane.Point{X: x})
	}
	leaning = append(leaning, plane.Point{X: -20_000, Y: -20_000}, plane.Point{X: 8000 * tooth, Y: -20_000})
	for k := range 4 {
		for i := range int32(5000) {
			p := plane.Point{X: 100 * i}
			for range k {
				p.X, p.Y = 500_000-p.Y, p.X
			}
			square = append(square, p)
		}
	}
	round := make([]plane.Point, 20_000)
	for i := range round {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 20_000)
		round[i] = plane.At(100*c, 100*s)
	}
	// Squares of a grid, as one shape: side by side, or corner to corner.
	grid := func(n int32, taken func(i, j int32) bool) []region.Contour {
		var out []region.Contour
		for i := range n {
			for j := range n {
				if x, y := 20_000*i, 20_000*j; taken(i, j) {
					out = append(out, region.Contour{Identity: contour.Identity{Rule: contour.NonZero, Group: 1, Shape: len(out)}, Points: []plane.Point{{X: x, Y: y}, {X: x + 20_000, Y: y}, {X: x + 20_000, Y: y + 20_000}, {X: x, Y: y + 20_000}}})
				}
			}
		}
		return out
	}
	// Petals that all come back to one point, again and again.
	var petals []region.Contour
	for i := range 400 {
		var pts []plane.Point
		for k := range 12 {
			a := 2 * math.Pi * float64(k) / 12
			s, c := math.Sincos(a)
			s2, c2 := math.Sincos(a + 0.3)
			x, y := 12*float64(i%20), 12*float64(i/20)
			pts = append(pts, plane.At(x, y), plane.At(x+5*c, y+5*s), plane.At(x+5*c2, y+5*s2))
		}
		petals = append(petals, region.Contour{Identity: contour.Identity{Shape: i}, Points: pts})
	}
	one := func(r []plane.Point) []region.Contour { return []region.Contour{{Points: r}} }
	whole := func(contours []region.Contour) func() float64 {
		return func() float64 {
			start := time.Now()
			axes(cleaned(contours), 1)
			return time.Since(start).Seconds()
		}
	}
	fmt.Println("\nawkward input           edges drawn   ns/edge   times as many ordinary edges")
	for _, in := range []input{
		{"comb of 4,000 teeth", one(comb)},
		{"comb of leaning teeth", one(leaning)},
		{"circle of 20,000", one(round)},
		{"square cut in 5,000", one(square)},
		{"grid of squares", grid(70, func(i, j int32) bool { return true })},
		{"chequers", grid(100, func(i, j int32) bool { return (i+j)%2 == 0 })},
		{"squares at random", grid(100, func(i, j int32) bool { return (i*i*31+j*j*17+i*j*7)%11 < 7 })},
		{"touching itself", petals},
	} {
		n := 0
		for _, c := range in.contours {
			n += len(c.Points)
		}
		ordinary := strokes(n)
		m := 0
		for _, c := range ordinary {
			m += len(c.Points)
		}
		t := medians(whole(in.contours), whole(ordinary))
		ns, usual := t[0]/float64(n)*1e9, t[1]/float64(m)*1e9
		fmt.Printf("%-23s %11d %9.0f %12.2f\n", in.name, n, ns, ns/usual)
		promise(in.name+", times ordinary edges", ns/usual, ns/usual <= mostAwkward)
	}
}

// sameBytes holds the axes made by one worker against those of two and eight.
func sameBytes() {
	regions := cleaned(strokes(100_000))
	var first []*axis.Graph
	for _, workers := range []int{1, 2, 8} {
		graphs := make([]*axis.Graph, len(regions))
		each(regions, workers, func(i int, g *axis.Graph) { graphs[i] = g })
		if first == nil {
			first = graphs
		}
		same := reflect.DeepEqual(first, graphs)
		promise("workers that make other axes", float64(workers), same)
	}
	fmt.Println("\naxes of one, two and eight workers compared")
}

// peak prints how much memory cleaning and axis of one big polygon take at
// most, in bytes an edge, over what the drawing itself takes.
func peak() {
	contours := polygon(polygonOfPeak)
	debug.FreeOSMemory()
	before := resident("VmRSS:")
	regions := cleaned(contours)
	axes(regions, 1)
	fmt.Println((resident("VmHWM:") - before) / float64(edges(regions)))
}

// resident reads a line of this process's status, in bytes.
func resident(name string) float64 {
	text, err := os.ReadFile("/proc/self/status")
	check(err)
	var kb float64
	_, rest, _ := strings.Cut(string(text), name)
	_, err = fmt.Sscan(rest, &kb)
	check(err)
	return kb * 1024
}

func cleaned(contours []region.Contour) []region.Region {
	result, problems := region.Build(contours, region.Options{})
	if problems.HasErrors() {
		check(fmt.Errorf("%v", problems))
	}
	return result.Regions
}

func edges(regions []region.Region) int {
	n := 0
	for _, r := range regions {
		for _, ring := range r.Rings {
			n += len(ring)
		}
	}
	return n
}

func check(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// medians runs all in turns, so that what else the machine does meets each
// alike, and gives the median of each.
func medians(all ...func() float64) []float64 {
	out := make([]float64, len(all))
	took := make([][]float64, len(all))
	for range runs {
		for i, f := range all {
			runtime.GC()
			took[i] = append(took[i], f())
		}
	}
	for i, t := range took {
		slices.Sort(t)
		out[i] = t[len(t)/2]
	}
	return out
}

// axes makes the axes of all regions with some workers and returns the seconds.
func axes(regions []region.Region, workers int) float64 {
	start := time.Now()
	each(regions, workers, func(int, *axis.Graph) {})
	return time.Since(start).Seconds()
}

// each makes the axes of all regions with some workers.
func each(regions []region.Region, workers int, f func(i int, g *axis.Graph)) {
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			var b axis.Builder
			for i := w; i < len(regions); i += workers {
				g, err := b.Medial(regions[i], tolerance)
				check(err)
				f(i, g)
			}
		})
	}
	wait.Wait()
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
		out = append(out, region.Contour{Identity: contour.Identity{Shape: i}, Points: pts})
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
