package proof

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"
)

// Clamps that are missed by a little break no rule, whether beside the way, below
// it, or below the holder.
func TestClampsCleared(t *testing.T) {
	square := func(x, y, size float64) [4][2]float64 {
		return [4][2]float64{{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}}
	}
	for name, c := range map[string]struct {
		clamp Clamp
		under float64
		broke bool
	}{
		"passed over":                       {Clamp{"c", square(70, 60, 10), 4}, 0, false},
		"beside":                            {Clamp{"c", square(13, 28, 2), 3}, 0, false},
		"beside, a little":                  {Clamp{"c", square(13.01, 28, 2), 3}, 0, true},
		"below the holder":                  {Clamp{"c", square(46, 33, 2), 0.2}, 6.3, false},
		"not quite below the holder":        {Clamp{"c", square(46, 33, 2), 0.2}, 6.1, true},
		"below the holder, under the brush": {Clamp{"c", square(35, 29, 2), 0.2}, 6.3, true},
		"turned, between two ways":          {Clamp{"c", [4][2]float64{{49, 26}, {53, 22}, {54, 23}, {50, 27}}, 9}, 0, false},
	} {
		lim := goodLimits()
		clamped(c.clamp)(&lim)
		lim.Clamps.Under = c.under
		p, _ := Read("good.nc", readFile(t, "good.nc"))
		broken := failed(Check(p, lim))
		if got := len(broken) > 0; got != c.broke || got && broken[0] != ClearsClamps {
			t.Errorf("%s: breaks %q", name, broken)
		}
	}
}

// A program's head states clamps, and read finds them.
func TestStatedClamps(t *testing.T) {
	head := "(waits at X1.000 Y168.000 Z6.000 at the end)\n(clears clamps by 1.00, counted from the axis and the tip there are:)\n(brush X-1.20 to 1.70, Y-1.20 to 1.20)\n" +
		"(holder X-15.00 to 15.00, Y-15.00 to 15.00, from Z25.00 up)\n(clamp 1 is left one)\n(clamp X-12.00 Y100.00 X3.00 Y100.00 X3.00 Y120.00 Z12.00)\n"
	p, _ := Read("stated.nc", []byte(head+string(readFile(t, "good.nc"))))
	want := &Clamps{Brush: Rect{-1.2, -1.2, 1.7, 1.2}, Holder: Rect{-15, -15, 15, 15}, Under: 25, Clear: 1, StartX: 1, StartY: 168,
		Clamps: []Clamp{{"left one", [4][2]float64{{-12, 100}, {3, 100}, {3, 120}, {-12, 120}}, 12}}}
	if got := StatedClamps(p); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	for _, bad := range []string{"(clamp X1 Y2 X3)", "(holder X-15 to NaN, Y0 to 1)", "(brush X)", "(clamp is)", "(clears clamps by )"} {
		p, _ := Read("bad.nc", []byte(bad+"\n"))
		if got := StatedClamps(p); got != nil {
			t.Errorf("%s gives %+v", bad, got)
		}
	}
}

// A box that is carried along a way meets a rectangle where a reference library says
// that the hull of its two places does.
func TestMeets(t *testing.T) {
	met := [2]int{}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-20, 20)
		from, to := Point{X: v.Draw(t, "x"), Y: v.Draw(t, "y")}, Point{X: v.Draw(t, "to x"), Y: v.Draw(t, "to y")}
		box := Rect{-rapid.Float64Range(0, 6).Draw(t, "left"), -1, rapid.Float64Range(0, 6).Draw(t, "right"), 2}
		sin, cos := math.Sincos(rapid.Float64Range(-1, 1).Draw(t, "turn"))
		w, h := rapid.Float64Range(0.1, 20).Draw(t, "width"), rapid.Float64Range(0.1, 20).Draw(t, "length")
		corners := [4][2]float64{{0, 0}, {w * cos, w * sin}, {w*cos - h*sin, w*sin + h*cos}, {-h * sin, h * cos}}
		var hull, ring []float64
		for _, p := range [...]Point{from, to} {
			hull = append(hull, p.X+box.MinX, p.Y+box.MinY, p.X+box.MaxX, p.Y+box.MinY, p.X+box.MaxX, p.Y+box.MaxY, p.X+box.MinX, p.Y+box.MaxY)
		}
		for i := range 5 {
			ring = append(ring, corners[i%4][0], corners[i%4][1])
		}
		swept := geom.NewMultiPoint(points(hull)).ConvexHull()
		clamp := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(ring, geom.DimXY))}).AsGeometry()
		distance, ok := geom.Distance(swept, clamp)
		got := box.meets(from, to, &corners)
		if want := distance == 0; got != want && (distance > 1e-9 || !ok) {
			t.Fatalf("meets: %v, %g mm apart", got, distance)
		}
		if got {
			met[1]++
		} else {
			met[0]++
		}
	})
	if min(met[0], met[1]) < 10 {
		t.Errorf("met and missed: %v", met)
	}
}

func points(xy []float64) (out []geom.Point) {
	for i := 0; i < len(xy); i += 2 {
		out = append(out, geom.XY{X: xy[i], Y: xy[i+1]}.AsPoint())
	}
	return out
}

// The rule names the clamp and what meets it.
func TestClampNamed(t *testing.T) {
	lim := goodLimits()
	clamped(Clamp{"left & low", [4][2]float64{{70, 60}, {80, 60}, {80, 80}, {70, 80}}, 4.1})(&lim)
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	for _, c := range Check(p, lim) {
		if c.Name == ClearsClamps && (c.Line != 16 || !strings.Contains(c.Found, "meets the clamp left & low")) {
			t.Errorf("%+v", c)
		}
	}
}
