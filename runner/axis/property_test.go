package axis_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// shapes draws regions of many kinds: cleaned by package region from outlines
// that may touch and cross themselves.
func shapes(t *rapid.T) []region.Region {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
	n := rapid.IntRange(3, 60).Draw(t, "corners")
	span := rapid.SampledFrom([]int32{6, 40, 1000, 30000, 300000}).Draw(t, "span")
	mm := float64(span) / plane.PerMM
	var outlines [][]plane.Point
	switch rapid.IntRange(0, 7).Draw(t, "kind") {
	case 0: // any corners whatever
		var r []plane.Point
		for range min(n, 16) {
			r = append(r, plane.Point{X: rng.Int32N(span), Y: rng.Int32N(span)})
		}
		outlines = append(outlines, r)
	case 1: // a star
		outlines = append(outlines, star(rng, n, mm/20, mm))
	case 2: // a star with star-shaped holes
		outlines = append(outlines, star(rng, n, mm/2, mm))
		for i := range 3 {
			h := star(rng, 3+n/4, mm/20, mm/5)
			s, c := math.Sincos(float64(i) * 2)
			for j := range h {
				h[j].X += int32(c * 0.25 * float64(span))
				h[j].Y += int32(s * 0.25 * float64(span))
			}
			outlines = append(outlines, h)
		}
	case 3: // all corners on a circle
		var pts [][2]float64
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			pts = append(pts, [2]float64{mm * c, mm * s})
		}
		outlines = append(outlines, ring(pts...))
	case 4: // squares of a grid that overlap, touch along sides and in corners
		for range n / 3 {
			x, y := rng.Int32N(6)*span/6, rng.Int32N(6)*span/6
			w, h := (1+rng.Int32N(3))*span/6, (1+rng.Int32N(3))*span/6
			outlines = append(outlines, []plane.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}})
		}
	case 5: // a stroke with round ends
		outlines = append(outlines, stroke(0, 0, mm+0.2, mm/8+0.02, (mm+0.2)/30))
	case 6: // a box whose sides are cut into pieces, some of them moved a little
		var r []plane.Point
		for k, d := range [4][2]int32{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			x, y := [4]int32{0, span, span, 0}[k], [4]int32{0, 0, span, span}[k]
			m := int32(1 + n/4)
			for i := range m {
				p := plane.Point{X: x + d[0]*(span*i/m), Y: y + d[1]*(span*i/m)}
				if rng.IntN(4) == 0 {
					p.X, p.Y = p.X+rng.Int32N(3)-1, p.Y+rng.Int32N(3)-1
				}
				r = append(r, p)
			}
		}
		outlines = append(outlines, r)
	case 7: // corners that lie on one circle exactly
		all := onCircle()
		m := min(n, len(all))
		var r []plane.Point
		for _, i := range slices.Sorted(slices.Values(rng.Perm(len(all))[:m])) {
			r = append(r, all[i])
		}
		outlines = append(outlines, r)
	}
	clean, ok := region.Positive(outlines, 1<<28)
	if !ok {
		t.Fatalf("%d outlines are too tangled to clean", len(outlines))
	}
	return clean
}

// onCircle gives all points of the grid on a circle of 5·13·17·29 steps, 324 of
// them, counter-clockwise.
var onCircle = sync.OnceValue(func() []plane.Point {
	const radius = 5 * 13 * 17 * 29
	var out []plane.Point
	for x := int64(-radius); x <= radius; x++ {
		square := radius*radius - x*x
		y := int64(math.Sqrt(float64(square)))
		if y*y != square {
			continue
		}
		out = append(out, plane.Point{X: int32(x), Y: int32(y)})
		if y > 0 {
			out = append(out, plane.Point{X: int32(x), Y: int32(-y)})
		}
	}
	slices.SortFunc(out, func(p, q plane.Point) int {
		return cmp.Compare(math.Atan2(float64(p.Y), float64(p.X)), math.Atan2(float64(q.Y), float64(q.X)))
	})
	return out
})

// disc is a disc of the axis, in grid steps.
type disc struct{ x, y, r float64 }

// discsOf lists discs along an axis, so close that their union dips by less than
// three steps between them.
func discsOf(g *axis.Graph) []disc {
	var discs []disc
	for _, n := range g.Nodes {
		discs = append(discs, disc{float64(n.X), float64(n.Y), float64(n.R)})
	}
	for _, e := range g.Edges {
		for i := range e.Points[1:] {
			a, b := e.Points[i], e.Points[i+1]
			dx, dy, dr := float64(b.X-a.X), float64(b.Y-a.Y), float64(b.R-a.R)
			length := math.Hypot(dx, dy)
			for f := 0.0; ; {
				r := float64(a.R) + f*dr
				discs = append(discs, disc{float64(a.X) + f*dx, float64(a.Y) + f*dy, r})
				if f == 1 {
					break
				}
				// Between discs m apart the union dips by less than m²/8r; the
				// smallest radii are at tips, where it does not matter.
				f = math.Min(1, f+math.Sqrt(100+24*r)/length)
			}
		}
	}
	return discs
}

// covered checks a graph against its region: every point of the axis lies
// inside, its radius is its distance from the outline, and no point of the
// outline or of what lies within is farther than the tolerance from the discs.
func covered(t failer, r region.Region, g *axis.Graph, tolerance float64) {
	t.Helper()
	const slack = close * plane.PerMM
	discs := discsOf(g)
	for _, d := range discs {
		near := nearness(r, d.x, d.y)
		if math.Abs(near-d.r) > slack {
			t.Fatalf("axis point (%.1f, %.1f): radius %.1f, outline at %.2f\n%v", d.x, d.y, d.r, near, r.Rings)
		}
		if d.r > slack && !within(r, d.x, d.y) {
			t.Fatalf("axis point (%.1f, %.1f) lies outside\n%v", d.x, d.y, r.Rings)
		}
	}
	painted := func(x, y float64) {
		depth := math.Inf(1)
		for _, d := range discs {
			depth = math.Min(depth, math.Hypot(x-d.x, y-d.y)-d.r)
		}
		if depth > tolerance*plane.PerMM+slack {
			t.Fatalf("point (%.1f, %.1f) is left %.1f steps bare\n%v", x, y, depth, r.Rings)
		}
	}
	low, high := r.Rings[0][0], r.Rings[0][0]
	for _, ring := range r.Rings {
		for i, p := range ring {
			low.X, low.Y, high.X, high.Y = min(low.X, p.X), min(low.Y, p.Y), max(high.X, p.X), max(high.Y, p.Y)
			q := ring[(i+1)%len(ring)]
			for j := range 4 {
				f := float64(j) / 4
				painted(float64(p.X)+f*float64(q.X-p.X), float64(p.Y)+f*float64(q.Y-p.Y))
			}
		}
	}
	rng := rand.New(rand.NewPCG(1, 8))
	for range 40 {
		x := float64(low.X) + rng.Float64()*float64(high.X-low.X)
		y := float64(low.Y) + rng.Float64()*float64(high.Y-low.Y)
		if within(r, x, y) {
			painted(x, y)
		}
	}
}

func TestAxesOfRandomRegions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tolerance := rapid.SampledFrom([]float64{0, 0.002, 0.02, 0.2}).Draw(t, "tolerance")
		for _, r := range shapes(t) {
			g, err := axis.Medial(r, tolerance)
			if err != nil {
				t.Fatalf("%v\n%v", err, r.Rings)
			}
			valid(t, g)
			covered(t, r, g, tolerance)
		}
	})
}

// Where a ring starts makes no difference, nor does the place of a region.
func TestStartOfRingsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := rapid.IntRange(1, 100).Draw(t, "turn")
		dx, dy := rapid.Int32Range(-1e7, 1e7).Draw(t, "dx"), rapid.Int32Range(-1e7, 1e7).Draw(t, "dy")
		for _, r := range shapes(t) {
			g, err := axis.Medial(r, 0.02)
			if err != nil {
				t.Fatal(err)
			}
			h, err := axis.Medial(otherwise(r, turn, dx, dy), 0.02)
			if err != nil {
				t.Fatal(err)
			}
			shift(h, -dx, -dy)
			if !reflect.DeepEqual(g, h) {
				t.Fatalf("turned by %d, moved by (%d, %d):\n%v\n%v\n%v", turn, dx, dy, r.Rings, g, h)
			}
		}
	})
}

// otherwise is a region moved, its rings begun at another point and its holes in
// another order.
func otherwise(r region.Region, turn int, dx, dy int32) region.Region {
	var out region.Region
	for i, ring := range r.Rings {
		k := turn % len(ring)
		moved := slices.Concat(ring[k:], ring[:k])
		for j := range moved {
			moved[j].X, moved[j].Y = moved[j].X+dx, moved[j].Y+dy
		}
		if i > 1 {
			out.Rings = slices.Insert(out.Rings, 1, moved)
		} else {
			out.Rings = append(out.Rings, moved)
		}
	}
	return out
}

// shift moves a graph.
func shift(g *axis.Graph, dx, dy int32) {
	for i := range g.Nodes {
		g.Nodes[i].X, g.Nodes[i].Y = g.Nodes[i].X+dx, g.Nodes[i].Y+dy
	}
	for _, e := range g.Edges {
		for i := range e.Points {
			e.Points[i].X, e.Points[i].Y = e.Points[i].X+dx, e.Points[i].Y+dy
		}
	}
}

// A builder that has made other axes before, or several at once, make the
// same graphs.
func TestWorkersDoNotMatter(t *testing.T) {
	regions := strokes(10_000)
	rng := rand.New(rand.NewPCG(5, 5))
	for range 40 {
		regions = append(regions, regionOf(star(rng, 3+rng.IntN(100), 1, 20)))
	}
	axes := func(workers int) []*axis.Graph {
		out := make([]*axis.Graph, len(regions))
		var wait sync.WaitGroup
		for w := range workers {
			wait.Go(func() {
				var b axis.Builder
				for i := w; i < len(regions); i += workers {
					g, err := b.Medial(regions[i], 0.02)
					if err != nil {
						t.Error(err)
					}
					out[i] = g
				}
			})
		}
		wait.Wait()
		return out
	}
	if !reflect.DeepEqual(axes(1), axes(8)) {
		t.Error("one worker and eight make different axes")
	}
}
