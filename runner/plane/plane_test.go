package plane_test

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"mahlstick/runner/plane"
)

func genPoint(t *rapid.T, name string, span int32) plane.Point {
	c := rapid.Int32Range(-span, span)
	return plane.Point{X: c.Draw(t, name+" x"), Y: c.Draw(t, name+" y")}
}

// A point is inside a polygon with a hole where a reference library says so.
func TestInside(t *testing.T) {
	outer := []plane.Point{{X: 0, Y: 0}, {X: 40, Y: 5}, {X: 38, Y: 41}, {X: 20, Y: 25}, {X: 3, Y: 39}}
	hole := []plane.Point{{X: 10, Y: 10}, {X: 12, Y: 22}, {X: 21, Y: 12}}
	var rings []geom.LineString
	for _, ring := range [][]plane.Point{outer, hole} {
		var xy []float64
		for i := range len(ring) + 1 {
			p := ring[i%len(ring)]
			xy = append(xy, float64(p.X), float64(p.Y))
		}
		rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
	}
	polygon := geom.NewPolygon(rings)
	seen := [2]int{}
	for x := int32(-2); x <= 44; x++ {
		for y := int32(-2); y <= 44; y++ {
			at := geom.XY{X: float64(x), Y: float64(y)}.AsPoint().AsGeometry()
			if touches, _ := geom.Touches(at, polygon.AsGeometry()); touches {
				continue
			}
			want := geom.Intersects(at, polygon.AsGeometry())
			if got := plane.Inside(plane.Point{X: x, Y: y}, outer, hole); got != want {
				t.Errorf("(%d, %d): %v", x, y, got)
			}
			if want {
				seen[1]++
			} else {
				seen[0]++
			}
		}
	}
	if seen[0] < 500 || seen[1] < 500 {
		t.Errorf("only %v points outside and inside", seen)
	}
}

func TestDistance(t *testing.T) {
	if d := plane.Distance(plane.Point{X: -plane.Limit, Y: plane.Limit}, plane.Point{X: plane.Limit, Y: -plane.Limit}); d != 2*plane.Limit*math.Sqrt2 {
		t.Errorf("across all: %v", d)
	}
	if d := plane.Distance(plane.Point{X: 1, Y: 2}, plane.Point{X: 4, Y: -2}); d != 5 {
		t.Errorf("3 by 4: %v", d)
	}
}

func TestRound(t *testing.T) {
	for v, want := range map[float64]int32{0.5: 1, -0.5: 0, 1.49: 1, -1.5: -1, -1.51: -2} {
		if got := plane.Round(v); got != want {
			t.Errorf("%g: %d, want %d", v, got, want)
		}
	}
	if got := plane.Lerp(-plane.Limit, plane.Limit, 0.5); got != 0 {
		t.Errorf("half way: %d", got)
	}
}

// Two boxes overlap if and only if a point lies in both.
func TestBoxes(t *testing.T) {
	var points []plane.Point
	for x := int32(-4); x <= 4; x++ {
		for y := int32(-4); y <= 4; y++ {
			points = append(points, plane.Point{X: x, Y: y})
		}
	}
	count := func(has func(plane.Point) bool) (n int) {
		for _, p := range points {
			if has(p) {
				n++
			}
		}
		return n
	}
	rapid.Check(t, func(t *rapid.T) {
		b := plane.Bounds([]plane.Point{genPoint(t, "a", 4), genPoint(t, "b", 4)})
		c := plane.Bounds([]plane.Point{genPoint(t, "c", 4), genPoint(t, "d", 4)})
		union := b.Union(c)
		both := count(func(p plane.Point) bool { return b.Has(p) && c.Has(p) })
		lost := count(func(p plane.Point) bool { return (b.Has(p) || c.Has(p)) && !union.Has(p) })
		if b.Overlaps(c) != (both > 0) || b.Holds(c) != (both == count(c.Has)) || lost > 0 {
			t.Errorf("%v and %v have %d points in common, and %v lacks %d of them", b, c, both, union, lost)
		}
	})
	if b := plane.Bounds([]plane.Point{{X: -4, Y: -4}, {X: 4, Y: 4}}); b.Overlaps(plane.Empty()) || plane.Bounds(nil) != plane.Empty() {
		t.Error("the box of no points is not empty")
	}
}
