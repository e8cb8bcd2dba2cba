package region_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

func contours(rings ...[]plane.Point) []region.Contour {
	out := make([]region.Contour, len(rings))
	for i, r := range rings {
		out[i] = region.Contour{Identity: contour.Identity{Shape: i}, Points: r}
	}
	return out
}

func build(t interface{ Fatalf(string, ...any) }, c []region.Contour, opt region.Options) *region.Result {
	got, problems := region.Build(c, opt)
	if len(problems) > 0 {
		t.Fatalf("%v", problems)
	}
	return got
}

func square(x, y, side int32) []plane.Point {
	return pts(x, y, x+side, y, x+side, y+side, x, y+side)
}

func backwards(ring []plane.Point) []plane.Point {
	ring = slices.Clone(ring)
	slices.Reverse(ring)
	return ring
}

func TestBuild(t *testing.T) {
	const u = 1000
	for _, tt := range []struct {
		name    string
		in      []region.Contour
		opt     region.Options
		regions int
		shapes  string // number: holes, area in u²
		mended  string
	}{
		{name: "square", in: contours(square(0, 0, u)), regions: 1, shapes: "[0 [] 1]"},
		{name: "clockwise", in: contours(backwards(square(0, 0, u))), regions: 1, shapes: "[0 [] 1]", mended: "[0 direction reversed 1]"},
		{name: "points twice", in: contours(pts(0, 0, 0, 0, u, 0, u, u, u, u, 0, u, 0, 0)), regions: 1, shapes: "[0 [] 1]", mended: "[0 point given twice 3]"},
		{name: "spikes", in: contours(pts(0, 0, u, 0, 3*u, 0, u, 0, u, u, 0, u, 0, 2*u, 0, u)), regions: 1, shapes: "[0 [] 1]", mended: "[0 spike 2]"},
		{name: "no area", in: contours(pts(0, 0, u, 0, 2*u, 0)), regions: 0, shapes: "[0 [] 0]"},
		{name: "a point", in: contours(pts(5, 5)), regions: 0, shapes: "[0 [] 0]"},
		{name: "no points", in: contours(nil), regions: 0, shapes: "[0 [] 0]"},
		{name: "hole", in: contours(square(0, 0, 4*u), square(u, u, u)), regions: 1, shapes: "[0 [1] 15]", mended: "[1 direction reversed 1]"},
		{name: "hole drawn first", in: contours(backwards(square(u, u, u)), square(0, 0, 4*u)), regions: 1, shapes: "[1 [0] 15]"},
		{name: "island in a hole", in: contours(square(0, 0, 6*u), backwards(square(u, u, 4*u)), square(2*u, 2*u, u)), regions: 2, shapes: "[0 [1] 20] [2 [] 1]"},
		{name: "inner strokes", in: contours(square(0, 0, 4*u), square(u, u, u)), opt: region.Options{Strokes: true}, regions: 2, shapes: "[0 [] 16] [1 [] 1]"},
		{name: "crossing", in: contours(square(0, 0, 2*u), square(u, u, 2*u)), regions: 2, shapes: "[0 [] 4] [1 [] 4]"},
		{name: "crossing inside the box", in: contours(pts(0, 0, 4*u, 0, 4*u, 4*u), square(u, u/2, u)), regions: 2, shapes: "[0 [] 8] [1 [] 1]"},
		{name: "beside each other, one side shared", in: contours(square(0, 0, u), square(u, 0, u)), regions: 2, shapes: "[0 [] 1] [1 [] 1]"},
		{name: "hole along a side", in: contours(square(0, 0, 4*u), backwards(square(0, u, u))), regions: 1, shapes: "[0 [1] 15]"},
		{name: "hole that touches a corner", in: contours(square(0, 0, 4*u), pts(2*u, 2*u, 3*u, 4*u, 3*u, 2*u)), regions: 1, shapes: "[0 [1] 15]"},
		{name: "hole that cuts in two", in: contours(square(0, 0, 4*u), pts(u, 0, u, 4*u, 2*u, 4*u, 2*u, 0)), regions: 2, shapes: "[0 [1] 12]"},
		{name: "crossing holes", in: contours(square(0, 0, 6*u), backwards(square(u, u, 2*u)), backwards(square(2*u, 2*u, 2*u))), regions: 1, shapes: "[0 [1 2] 29]"},
		{name: "touching holes", in: contours(square(0, 0, 6*u), backwards(square(u, u, 2*u)), backwards(square(3*u, 3*u, 2*u))), regions: 1, shapes: "[0 [1 2] 28]"},
		{name: "through a corner", in: contours(pts(0, 0, 4*u, 0, 4*u, 4*u, 0, 4*u), pts(u, u, 4*u, 4*u, 2*u, u)), regions: 1, shapes: "[0 [1] 14.5]"},
		{name: "twice", in: contours(square(0, 0, u), pts(u, u, u, 0, 0, 0, 0, u/2, 0, u)), regions: 1, shapes: "[0 [] 1]", mended: "[1 shape given twice 1]"},
		{name: "bow tie", in: contours(pts(0, 0, 2*u, 2*u, 2*u, 0, 0, 2*u)), regions: 2, shapes: "[0 [] 2]", mended: "[0 outline crosses itself 1]"},
		{name: "pinched from inside", in: contours(pts(0, 0, 4*u, 0, 4*u, 4*u, 2*u, 4*u, 3*u, u, u, u, 2*u, 4*u, 0, 4*u)), regions: 1, shapes: "[0 [] 13]", mended: "[0 outline touches itself 4]"},
		{name: "two laps", in: contours(append(square(0, 0, u), square(0, 0, u)...)), regions: 1, shapes: "[0 [] 1]", mended: "[0 outline touches itself 12]"},
		{name: "a lap over itself", in: contours(pts(0, 0, 4*u, 0, 4*u, 4*u, u, 4*u, u, -u, 2*u, -u, 2*u, 3*u, 3*u, 3*u, 3*u, u, 0, u)), regions: 1, shapes: "[0 [] 12]", mended: "[0 outline crosses itself 4]"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := build(t, tt.in, tt.opt)
			checkAll(t, got.Regions)
			if len(got.Regions) != tt.regions {
				t.Errorf("%d regions, want %d", len(got.Regions), tt.regions)
			}
			if shapes := shapesText(got); shapes != tt.shapes {
				t.Errorf("shapes %s, want %s", shapes, tt.shapes)
			}
			// Reversed outlines are usual: they count only if others are expected.
			if mended := mendedText(got, tt.mended != ""); mended != tt.mended {
				t.Errorf("mended %s, want %s", mended, tt.mended)
			}
			area, sum := 0.0, 0.0
			for _, r := range got.Regions {
				area += r.Area()
			}
			for _, s := range got.Shapes {
				sum += s.Area
			}
			if math.Abs(area-sum) > 1e-9 || math.Abs(got.Drawn()-sum) > 1e-9 {
				t.Errorf("regions have %g mm², shapes %g, drawn %g", area, sum, got.Drawn())
			}
		})
	}
}

func shapesText(r *region.Result) string {
	var out []string
	for _, s := range r.Shapes {
		out = append(out, fmt.Sprintf("[%d %v %.6g]", s.Number, s.Holes, s.Area*100))
	}
	return strings.Join(out, " ")
}

func mendedText(r *region.Result, reversed bool) string {
	var out []string
	for _, m := range r.Repairs {
		if m.Fault != region.Reversed || reversed {
			out = append(out, fmt.Sprintf("[%d %v %d]", m.Shape, m.Fault, m.N))
		}
	}
	return strings.Join(out, " ")
}

func TestGroupsObeyTheirRule(t *testing.T) {
	const u = 1000
	in := func(rule contour.FillRule) []region.Contour {
		return []region.Contour{
			{Points: square(0, 0, 4*u), Identity: contour.Identity{Rule: rule, Group: 7, Shape: 3}},
			{Points: square(20*u, 0, u), Identity: contour.Identity{Shape: 4}},
			{Points: square(u, u, u), Identity: contour.Identity{Rule: rule, Group: 7, Shape: 5}},
			{Points: square(3*u, 0, 4*u), Identity: contour.Identity{Rule: rule, Group: 7, Shape: 6}},
		}
	}
	for _, tt := range []struct {
		rule contour.FillRule
		area float64
	}{{contour.EvenOdd, 16 + 16 - 8 - 1}, {contour.NonZero, 28}} {
		got := build(t, in(tt.rule), region.Options{})
		checkAll(t, got.Regions)
		if len(got.Shapes) != 2 || got.Shapes[0].Number != 3 || math.Abs(got.Shapes[0].Area*100-tt.area) > 1e-9 {
			t.Errorf("rule %d: %+v, want area %g", tt.rule, got.Shapes, tt.area)
		}
	}
}

func TestBuildRefusesWhatIsOffTheGrid(t *testing.T) {
	_, problems := region.Build(contours(square(0, 0, 9), square(plane.Limit, 0, 9)), region.Options{})
	if len(problems) != 1 || problems[0].Code != "contour-off-grid" {
		t.Errorf("%v", problems)
	}
}

// genRing draws rings on a coarse lattice, so that points, edges and lines
// often coincide.
func genRing(lattice int, scale int32) *rapid.Generator[[]plane.Point] {
	point := rapid.Custom(func(t *rapid.T) plane.Point {
		return plane.Point{
			X: int32(rapid.IntRange(0, lattice).Draw(t, "x")) * scale,
			Y: int32(rapid.IntRange(0, lattice).Draw(t, "y")) * scale,
		}
	})
	return rapid.SliceOfN(point, 1, 14)
}

// TestAnyRing checks on random tangles that the regions are valid, cover just
// what the rule says, and that a general-purpose library agrees.
func TestAnyRing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const scale = 1 << 12
		rule := rapid.SampledFrom([]contour.FillRule{contour.Unstated, contour.EvenOdd, contour.NonZero}).Draw(t, "rule")
		ring := genRing(12, scale).Draw(t, "ring")
		got := build(t, []region.Contour{{Identity: contour.Identity{Rule: rule}, Points: ring}}, region.Options{})
		checkAll(t, got.Regions)
		secondOpinion(t, got.Regions)
		for range 60 {
			x := int64(rapid.IntRange(-scale, 26*scale).Draw(t, "px"))
			y := int64(rapid.IntRange(-scale, 26*scale).Draw(t, "py"))
			if near(ring, x, y) {
				continue
			}
			w := winding(ring, x, y)
			want := 0
			if w != 0 && (rule != contour.EvenOdd || w&1 != 0) {
				want = 1
			}
			if n := covered(got.Regions, x, y); n != want {
				t.Fatalf("(%d/2, %d/2) winding %d is covered %d times", x, y, w, n)
			}
		}
	})
}

// TestAnyNest checks contours inside each other: holes and strokes alternate,
// and contours that cross stay whole.
func TestAnyNest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const scale = 1 << 12
		rings := rapid.SliceOfN(genRing(12, scale), 1, 5).Draw(t, "rings")
		got := build(t, contours(rings...), region.Options{})
		checkAll(t, got.Regions)
		holes, listed := accounted(t, got, len(rings))
		for range 40 {
			x := int64(rapid.IntRange(-scale, 26*scale).Draw(t, "px"))
			y := int64(rapid.IntRange(-scale, 26*scale).Draw(t, "py"))
			if slices.ContainsFunc(rings, func(r []plane.Point) bool { return near(r, x, y) }) {
				continue
			}
			for i := range rings {
				if listed[i] {
					coveredAsDrawn(t, got, rings, holes, i, x, y)
				}
			}
		}
	})
}

// accounted checks that each contour is a shape, a hole or given twice, and
// returns the holes with their shapes and the listed shapes.
func accounted(t *rapid.T, got *region.Result, contours int) (holes map[int]int, listed map[int]bool) {
	holes, listed = map[int]int{}, map[int]bool{}
	given := map[int]bool{}
	for _, s := range got.Shapes {
		listed[s.Number] = true
		for _, h := range s.Holes {
			holes[h] = s.Number
		}
	}
	for _, m := range got.Repairs {
		given[m.Shape] = given[m.Shape] || m.Fault == region.Twice
	}
	for i := range contours {
		_, hole := holes[i]
		if n := count(hole) + count(listed[i]) + count(given[i]); n != 1 {
			t.Fatalf("contour %d is accounted for %d times", i, n)
		}
	}
	return holes, listed
}

// coveredAsDrawn checks that the regions of shape i cover (x/2, y/2) if and only
// if its ring does and no hole of it.
func coveredAsDrawn(t *rapid.T, got *region.Result, rings [][]plane.Point, holes map[int]int, i int, x, y int64) {
	want := winding(rings[i], x, y) != 0
	for h, of := range holes {
		if of == i && winding(rings[h], x, y) != 0 {
			want = false
		}
	}
	of := slices.DeleteFunc(slices.Clone(got.Regions), func(r region.Region) bool { return r.Shape != i })
	if n := covered(of, x, y); n != count(want) {
		t.Fatalf("(%d/2, %d/2) in shape %d: covered %d times", x, y, i, n)
	}
}

// TestCrowdedGrid puts rings on so few points that rounding moves everything:
// the regions are still valid.
func TestCrowdedGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := rapid.SliceOfN(genRing(rapid.IntRange(2, 40).Draw(t, "lattice"), 1), 1, 4).Draw(t, "rings")
		rule := rapid.SampledFrom([]contour.FillRule{contour.Unstated, contour.EvenOdd, contour.NonZero}).Draw(t, "rule")
		in := contours(rings...)
		for i := range in {
			in[i].Rule, in[i].Group = rule, i%2+1
		}
		checkAll(t, build(t, in, region.Options{}).Regions)
	})
}

// TestTwoOrders builds contours in two orders: the same regions come out.
func TestTwoOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := rapid.SliceOfN(genRing(9, 1<<8), 1, 6).Draw(t, "rings")
		in := contours(rings...)
		a := build(t, in, region.Options{})
		b := build(t, rapid.Permutation(in).Draw(t, "order"), region.Options{})
		if da, db := a.Drawn(), b.Drawn(); math.Abs(da-db) > 1e-12 {
			t.Fatalf("%g mm² and %g mm²", da, db)
		}
	})
}

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// near reports whether (x/2, y/2) is so near a ring that rounding to the grid may
// move the ring across it.
func near(ring []plane.Point, x, y int64) bool {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		ax, ay := 2*float64(p.X)-float64(x), 2*float64(p.Y)-float64(y)
		bx, by := 2*float64(q.X)-float64(x), 2*float64(q.Y)-float64(y)
		dx, dy := bx-ax, by-ay
		t := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			t = math.Max(0, math.Min(1, -(ax*dx+ay*dy)/l))
		}
		if math.Hypot(ax+t*dx, ay+t*dy) < 8 {
			return true
		}
	}
	return false
}

// secondOpinion asks the library simplefeatures whether the regions are valid
// polygons of the same area.
func secondOpinion(t *rapid.T, regions []region.Region) {
	for _, r := range regions {
		var rings []geom.LineString
		for _, ring := range r.Rings {
			var xy []float64
			for i := range len(ring) + 1 {
				p := ring[i%len(ring)]
				xy = append(xy, float64(p.X), float64(p.Y))
			}
			rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
		}
		poly := geom.NewPolygon(rings)
		if err := poly.Validate(); err != nil {
			t.Fatalf("the library says %v of %v", err, r.Rings)
		}
		if a := poly.Area() / (plane.PerMM * plane.PerMM); math.Abs(a-r.Area()) > 1e-9*(1+a) {
			t.Fatalf("area %g, the library says %g", r.Area(), a)
		}
	}
}
