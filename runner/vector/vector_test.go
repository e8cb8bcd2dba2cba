package vector_test

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"mahlstick/runner/vector"
)

func genXY(t *rapid.T, name string) vector.XY {
	c := rapid.Float64Range(-1000, 1000)
	return vector.XY{X: c.Draw(t, name+" x"), Y: c.Draw(t, name+" y")}
}

// The distance from a segment, against a reference library.
func TestToSegment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, a, b := genXY(t, "p"), genXY(t, "a"), genXY(t, "b")
		way, share := vector.ToSegment(p, a, b)
		line := geom.NewLineString(geom.NewSequence([]float64{a.X, a.Y, b.X, b.Y}, geom.DimXY))
		if line.Validate() != nil {
			return // both ends in one point
		}
		point := geom.XY{X: p.X, Y: p.Y}.AsPoint()
		want, _ := geom.Distance(point.AsGeometry(), line.AsGeometry())
		if math.Abs(way.Length()-want) > 1e-9 {
			t.Errorf("distance %g, want %g", way.Length(), want)
		}
		if foot := p.Minus(way); vector.Distance(foot, a.Toward(b, share)) > 1e-9 {
			t.Errorf("the way leads from %v, but the share %g is at %v", foot, share, a.Toward(b, share))
		}
		in3, share3 := vector.ToSegment3(vector.XYZ{X: p.X, Y: p.Y, Z: 4}, vector.XYZ{X: a.X, Y: a.Y, Z: 1}, vector.XYZ{X: b.X, Y: b.Y, Z: 1})
		if share3 != share || math.Abs(in3.Length()-math.Sqrt(way.Dot(way)+9)) > 1e-9 {
			t.Errorf("in space %v, %g", in3, share3)
		}
	})
}

func TestToSegmentOfNoLength(t *testing.T) {
	way, share := vector.ToSegment(vector.XY{X: 3, Y: 4}, vector.XY{}, vector.XY{})
	if way != (vector.XY{X: 3, Y: 4}) || share != 0 {
		t.Errorf("%v, %g", way, share)
	}
}

func TestCross(t *testing.T) {
	x, y := vector.XYZ{X: 1}, vector.XYZ{Y: 1}
	if got := x.Cross(y); got != (vector.XYZ{Z: 1}) {
		t.Errorf("x cross y is %v", got)
	}
	if got := (vector.XY{X: 1}).Cross(vector.XY{Y: 1}); got != 1 {
		t.Errorf("y lies to the left of x, but %g", got)
	}
	if got := (vector.XY{X: 1}).Left(); got != (vector.XY{Y: 1}) {
		t.Errorf("left of x is %v", got)
	}
}

func TestBounds(t *testing.T) {
	b := vector.Bounds([]vector.XY{{X: 1, Y: 5}, {X: -2, Y: 3}})
	if b != (vector.Box{Min: vector.XY{X: -2, Y: 3}, Max: vector.XY{X: 1, Y: 5}}) {
		t.Errorf("%v", b)
	}
	if b.Union(vector.Empty()) != b {
		t.Error("a box with no points makes it larger")
	}
	b.AddDisc(vector.XY{X: 1, Y: 3}, 2)
	if b != (vector.Box{Min: vector.XY{X: -2, Y: 1}, Max: vector.XY{X: 3, Y: 5}}) {
		t.Errorf("%v", b)
	}
}

// What is left of a path passes everything that was left out, and a second run
// changes nothing.
func TestSimplify(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) vector.XY { return genXY(t, "p") }), 0, 40).Draw(t, "path")
		most := rapid.Float64Range(0, 900).Draw(t, "most")
		simplify := func(path []vector.XY) []vector.XY {
			return vector.Simplify(path, most, func(i, from, to int) float64 {
				way, _ := vector.ToSegment(path[i], path[from], path[to])
				return way.Length()
			})
		}
		got := simplify(path)
		if len(path) > 0 && (got[0] != path[0] || got[len(got)-1] != path[len(path)-1]) {
			t.Fatalf("%v loses an end of %v", got, path)
		}
		for _, p := range path {
			near := math.Inf(1)
			for i := range got {
				way, _ := vector.ToSegment(p, got[i], got[min(i+1, len(got)-1)])
				near = min(near, way.Length())
			}
			if near > most {
				t.Errorf("%v lies %g from what is left, most %g", p, near, most)
			}
		}
		if again := simplify(got); len(again) != len(got) {
			t.Errorf("a second run leaves %d of %d points", len(again), len(got))
		}
	})
}
