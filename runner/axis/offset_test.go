package axis_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
)

// offsets of a region at several depths, in grid steps.
func offsets(t failer, r region.Region, sag float64, depths ...float64) [][][]plane.Point {
	var b axis.Builder
	if _, err := b.Medial(r, 0.02); err != nil {
		t.Fatalf("%v", err)
	}
	o := b.Offsets()
	var out [][][]plane.Point
	for _, depth := range depths {
		out = append(out, o.At(depth, 0, sag))
	}
	return out
}

// Areas and lengths inside offsets, by J. Steiner's formulas and by hand.
func TestOffsetsOfShapes(t *testing.T) {
	square := ring([2]float64{0, 0}, [2]float64{20, 0}, [2]float64{20, 20}, [2]float64{0, 20})
	ell := ring([2]float64{0, 0}, [2]float64{20, 0}, [2]float64{20, 10}, [2]float64{10, 10}, [2]float64{10, 20}, [2]float64{0, 20})
	for _, tt := range []struct {
		name  string
		r     region.Region
		depth float64 // mm
		rings int
		area  float64 // mm²
	}{
		{"square", regionOf(square), 3, 1, 14 * 14},
		{"square, near its middle", regionOf(square), 9.9, 1, 0.2 * 0.2},
		{"square, beyond", regionOf(square), 10.5, 0, 0},
		// The inner corner becomes an arc.
		{"L", regionOf(ell), 2, 1, 16*6 + 6*10 + (4 - math.Pi)},
		{"disc", regionOf(circle(30, 30, 15, 0.0001)), 6, 1, 81 * math.Pi},
		{"annulus", regionOf(circle(0, 0, 15, 0.0001), reversed(circle(0, 0, 5, 0.0001))), 2, 2, (13*13 - 7*7) * math.Pi},
	} {
		rings := offsets(t, tt.r, 1, tt.depth*plane.PerMM)[0]
		area := 0.0
		for _, ring := range rings {
			area += float64(plane.Area2(ring)) / (2 * plane.PerMM * plane.PerMM)
		}
		if len(rings) != tt.rings || math.Abs(area-tt.area) > 0.012 {
			t.Errorf("%s: %d rings around %.4f mm², want %d around %.4f", tt.name, len(rings), area, tt.rings, tt.area)
		}
	}
}

// sag is how far the chords of offsets may deviate, in grid steps.
const sag = 10.0

// All points of an offset lie at its depth, and just what is deeper lies
// inside. The nearest edge is found by trying all.
func TestOffsetsOfRandomRegions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		depth := plane.PerMM * rapid.SampledFrom([]float64{0.05, 0.3, 1, 3, 8}).Draw(t, "depth")
		for _, r := range shapes(t) {
			rings := offsets(t, r, sag, depth, 1.7*depth)
			lieAt(t, r, rings[0], depth)
			lieAt(t, r, rings[1], 1.7*depth)
		}
	})
}

func lieAt(t *rapid.T, r region.Region, rings [][]plane.Point, depth float64) {
	for _, p := range slices.Concat(rings...) {
		if off := nearness(r, float64(p.X), float64(p.Y)) - depth; math.Abs(off) > 2 {
			t.Fatalf("a point of the offset at %g lies %g from it\n%v", depth, off, r.Rings)
		}
	}
	box := plane.Bounds(r.Rings[0])
	for range 200 {
		x := float64(rapid.Int32Range(box.Min.X, box.Max.X).Draw(t, "x")) + 0.37
		y := float64(rapid.Int32Range(box.Min.Y, box.Max.Y).Draw(t, "y")) + 0.41
		deep := -nearness(r, x, y)
		if within(r, x, y) {
			deep = -deep
		}
		if math.Abs(deep-depth) > sag+3 && within(region.Region{Rings: rings}, x, y) != (deep > depth) {
			t.Fatalf("(%g, %g) is %g deep, on the wrong side of the offset at %g\n%v", x, y, deep, depth, r.Rings)
		}
	}
}

// Parts that are nowhere deeper than asked for are left out, others stay.
func TestShallowOffsets(t *testing.T) {
	// Two rooms, 20 and 10 mm wide, and a corridor of 4 mm.
	rooms := regionOf(ring([2]float64{0, 0}, [2]float64{20, 0}, [2]float64{20, 8}, [2]float64{40, 8}, [2]float64{40, 5}, [2]float64{50, 5},
		[2]float64{50, 15}, [2]float64{40, 15}, [2]float64{40, 12}, [2]float64{20, 12}, [2]float64{20, 20}, [2]float64{0, 20}))
	var b axis.Builder
	for least, want := range map[float64]int{0: 2, 4.9: 2, 5.1: 1, 10.1: 0} {
		if _, err := b.Medial(rooms, 0.02); err != nil {
			t.Fatal(err)
		}
		if got := b.Offsets().At(3*plane.PerMM, least*plane.PerMM, 10); len(got) != want {
			t.Errorf("%d parts are deeper than %g mm, want %d", len(got), least, want)
		}
	}
}

// The rings are the same wherever those of the region start.
func TestOffsetsDoNotDependOnTheStart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, r := range shapes(t) {
			turn := rapid.IntRange(1, 50).Draw(t, "turn")
			a, b := offsets(t, r, 10, 5000)[0], offsets(t, otherwise(r, turn, 0, 0), 10, 5000)[0]
			if !slices.EqualFunc(a, b, func(p, q []plane.Point) bool { return len(p) == len(q) }) {
				t.Fatalf("%d rings, from another start %d", len(a), len(b))
			}
		}
	})
}
