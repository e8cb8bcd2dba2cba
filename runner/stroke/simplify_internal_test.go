package stroke

import (
	"math"
	"reflect"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

func pressing(t *testing.T) *brush.Curve {
	c, err := brush.Taper(10, 10, 0) // as wide as it is pressed
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func pathOf(xyw ...[3]float64) []Point {
	var out []Point
	for _, p := range xyw {
		q := plane.At(p[0], p[1])
		out = append(out, Point{X: q.X, Y: q.Y, Press: p[2], Width: p[2]})
	}
	return out
}

// TestSimplifyExample: the example is on Rosetta Code, "Ramer-Douglas-Peucker
// line simplification".
func TestSimplifyExample(t *testing.T) {
	c := pressing(t)
	in := pathOf([][3]float64{{0, 0}, {1, .1}, {2, -.1}, {3, 5}, {4, 6}, {5, 7}, {6, 8.1}, {7, 9}, {8, 9}, {9, 9}}...)
	for _, tt := range []struct {
		within float64
		want   [][3]float64
	}{
		{1, [][3]float64{{0, 0}, {2, -.1}, {3, 5}, {7, 9}, {9, 9}}},
		{0.2, [][3]float64{{0, 0}, {2, -.1}, {3, 5}, {7, 9}, {9, 9}}},
		{0.05, [][3]float64{{0, 0}, {1, .1}, {2, -.1}, {3, 5}, {6, 8.1}, {7, 9}, {9, 9}}},
		{2, [][3]float64{{0, 0}, {9, 9}}},
	} {
		if got := simplify(in, tt.within, 1, c); !reflect.DeepEqual(got, pathOf(tt.want...)) {
			t.Errorf("within %g: %v", tt.within, got)
		}
	}
}

// TestSimplifySeesWidth: in plan alone the middle would go.
func TestSimplifySeesWidth(t *testing.T) {
	in := pathOf([3]float64{0, 0, 0}, [3]float64{5, 0, 1}, [3]float64{10, 0, 0})
	if got := simplify(in, 0.5, 0.5, pressing(t)); len(got) != 3 {
		t.Errorf("%v", got)
	}
	if got := simplify(in, 0.5, 1.5, pressing(t)); len(got) != 2 {
		t.Errorf("%v", got)
	}
}

// TestSimplifyArc: a half circle of radius 10 with a point each degree needs
// chords of 11 degrees at most for a sagitta of 0.05.
func TestSimplifyArc(t *testing.T) {
	c := pressing(t)
	var in []Point
	for a := range 181 {
		s, co := math.Sincos(float64(a) * math.Pi / 180)
		in = append(in, pathOf([3]float64{10 * co, 10 * s, 1 + s})...)
	}
	got := simplify(in, 0.05, 10, c)
	if len(got) < 18 || len(got) > 34 {
		t.Errorf("%d points", len(got))
	}
	if got[0] != in[0] || got[len(got)-1] != in[180] {
		t.Error("the ends moved")
	}
	k := 0
	for _, p := range in {
		if k+1 < len(got)-1 && p == got[k+1] {
			k++
		}
		way, _ := vector.ToSegment(p.xy(), got[k].xy(), got[k+1].xy())
		if off := way.Length(); off > 0.05*plane.PerMM {
			t.Errorf("%v is %g steps off", p, off)
		}
	}
	if again := simplify(got, 0.05, 10, c); !reflect.DeepEqual(again, got) {
		t.Error("a second run changed something")
	}
}

// TestPathFollowsACurvedBrush: where width does not rise evenly with the press,
// an even taper needs points between.
func TestPathFollowsACurvedBrush(t *testing.T) {
	c, err := brush.Fit([]brush.Mark{{Press: 1, Width: 0.3}, {Press: 2, Width: 0.9}, {Press: 3, Width: 2.2}}, 5, 2.6, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	h := pressProfile{curve: c, narrowest: 0.2, widest: 2.6, within: 0.005, width: 0.01}
	path := h.path(axisPath(0, 0, 0, 20, 0, 1.4))
	if len(path) < 6 {
		t.Errorf("only %d points", len(path))
	}
	for i := 1; i < len(path); i++ {
		for s := 0.0; s <= 1; s += 0.125 {
			a, b := path[i-1], path[i]
			x := plane.MM(a.X) + s*(plane.MM(b.X)-plane.MM(a.X))
			w, err := c.WidthAt(a.Press + s*(b.Press-a.Press))
			if want := min(max(2.8*x/20, 0.2), 2.6); err != nil || math.Abs(w-want) > 0.0135 {
				t.Errorf("at %g mm the mark is %g wide, want %g (%v)", x, w, want, err)
			}
		}
	}
}
