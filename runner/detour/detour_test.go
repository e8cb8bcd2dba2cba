package detour

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"mahlstick/runner/plane"
)

// bench is 300 mm by 300 mm, at 50 mm/s across and 10 mm/s in Z, and reaches its
// speed at once.
func bench(body Body, obstacles ...Obstacle) *Field {
	return New(obstacles, body, Motion{Travel: 3000, Feed: [3]float64{2: 600}}, plane.Box{Max: plane.At(300, 300)}, 10)
}

func block(x, y, width, length, top float64) Obstacle {
	return Obstacle{[]plane.Point{plane.At(x, y), plane.At(x+width, y), plane.At(x+width, y+length), plane.At(x, y+length)}, plane.Snap(top)}
}

func square(half float64) plane.Box { return plane.Around(plane.Point{}, plane.Snap(half)) }

var wide = Body{Holder: square(9), Clear: plane.Snap(1)}

func trip(x0, y0, x1, y1, z float64) Trip {
	return Trip{plane.At(x0, y0), plane.At(x1, y1), plane.Snap(z), plane.Snap(z)}
}

// A long low clamp is passed over, a short high one is gone round, as the closed
// forms say: round costs way at 50 mm/s, over costs height twice at 10 mm/s.
func TestQuickest(t *testing.T) {
	for name, c := range map[string]struct {
		clamp   Obstacle
		highest float64
		z       float64
		seconds float64
	}{
		"free":                  {block(100, 200, 10, 10, 40), 60, 5, 4},
		"below":                 {block(100, 100, 10, 10, 4), 60, 5, 4},
		"over a long wall":      {block(100, 0, 10, 290, 9), 60, 10, 4 + 2*5.0/10},
		"too high to go over":   {block(100, 100, 10, 10, 90), 60, 5, (math.Hypot(84.98, 15.02) + 30.04 + math.Hypot(84.98, 15.02)) / 50},
		"round is quicker":      {block(100, 100, 10, 10, 30), 60, 5, (math.Hypot(84.98, 15.02) + 30.04 + math.Hypot(84.98, 15.02)) / 50},
		"over, but not so high": {block(100, 0, 10, 290, 9), 9, 0, 0},
	} {
		f := bench(wide, c.clamp)
		at := trip(5, 105, 205, 105, 5)
		w, ok := f.Quickest(at, f.Heights(at.FromZ, plane.Snap(c.highest)))
		if ok != (c.seconds > 0) || ok && (w.Z != plane.Snap(c.z) || math.Abs(w.Seconds-c.seconds) > 0.002) {
			t.Errorf("%s: %v at Z %g in %.4f s, want Z %g in %.4f s", name, ok, plane.MM(w.Z), w.Seconds, c.z, c.seconds)
		}
	}
}

// The holder passes over what the brush would meet, and the brush beside what the
// holder would.
func TestHolderAboveTheTip(t *testing.T) {
	body := Body{Holder: square(20), Brush: square(2), Under: plane.Snap(25), Clear: plane.Snap(1)}
	f := bench(body, block(100, 100, 10, 10, 12))
	z := plane.Snap(5)
	for name, c := range map[string]struct {
		y       float64
		blocked bool
	}{"through": {105, true}, "beside the brush": {113.02, false}, "not quite": {112.98, true}} {
		if got := f.Blocked(plane.At(5, c.y), plane.At(205, c.y), z) >= 0; got != c.blocked {
			t.Errorf("%s: %v", name, got)
		}
	}
	if got := f.Heights(z, plane.Snap(60)); len(got) != 2 || got[1] != plane.Snap(13) || f.Over() != plane.Snap(13) {
		t.Errorf("heights %v, over %d", got, f.Over())
	}
}

// The time of a straight move that begins and ends at rest is that of a trapezoid or
// a triangle.
func TestSeconds(t *testing.T) {
	f := New(nil, Body{}, Motion{Feed: [3]float64{3000, 1500, 600}, Acceleration: [3]float64{100, 100, 50}}, plane.Box{}, 10)
	for _, c := range []struct{ x, y, z, want float64 }{
		{100, 0, 0, 100.0/50 + 50.0/100}, {4, 0, 0, 2 * math.Sqrt(4.0/100)}, {0, 100, 0, 100.0/25 + 25.0/100},
		{0, 0, -30, 30.0/10 + 10.0/50}, {60, 80, 0, 100/31.25 + 31.25/125}, {0, 0, 0, 0},
	} {
		if got := f.seconds(plane.Snap(c.x), plane.Snap(c.y), plane.Snap(c.z)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v takes %v s", c, got)
		}
	}
	f = New(nil, Body{}, Motion{Travel: 3000, Along: 100, Feed: [3]float64{2: 600}}, plane.Box{}, 10)
	if got, want := f.seconds(plane.Snap(60), plane.Snap(80), 0), 100.0/50+50.0/100; math.Abs(got-want) > 1e-12 {
		t.Errorf("along the way: %v s, want %v", got, want)
	}
}

// No way has a part inside an obstacle, by a reference library; ways lead within the
// reach, are never shorter than straight, and where there is none, a grid of places a millimetre
// apart shows none either.
func TestWays(t *testing.T) {
	found := [2]int{}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.IntRange(5, 95)
		var obstacles []Obstacle
		for range rapid.IntRange(1, 4).Draw(t, "clamps") {
			x, y, w, l := float64(v.Draw(t, "x")), float64(v.Draw(t, "y")), rapid.Float64Range(1, 60).Draw(t, "width"), rapid.Float64Range(1, 60).Draw(t, "length")
			sin, cos := math.Sincos(rapid.Float64Range(-0.1, 0.1).Draw(t, "turn"))
			obstacles = append(obstacles, Obstacle{[]plane.Point{plane.At(x, y), plane.At(x+w*cos, y+w*sin), plane.At(x+w*cos-l*sin, y+w*sin+l*cos), plane.At(x-l*sin, y+l*cos)}, plane.Snap(20)})
		}
		f := New(obstacles, Body{Holder: square(3), Clear: plane.Snap(1)}, Motion{Travel: 3000, Along: 150, Feed: [3]float64{2: 600}}, plane.Box{Max: plane.At(100, 100)}, 10)
		at := trip(float64(v.Draw(t, "from x")), float64(v.Draw(t, "from y")), float64(v.Draw(t, "to x")), float64(v.Draw(t, "to y")), 5)
		w, ok := f.Quickest(at, []int32{plane.Snap(5)})
		if reached := floods(f, at); reached && !ok {
			t.Fatal("no way was found, and there is one")
		}
		if found[0]++; !ok {
			return
		}
		found[1]++
		if w.Length(at) < plane.Distance(at.From, at.To)-1e-6 {
			t.Fatalf("%v is shorter than straight", w)
		}
		from := at.From
		for _, p := range append(w.Via, at.To) {
			if !f.reach.Has(p) {
				t.Fatalf("%v is out of reach", p)
			}
			for _, o := range obstacles {
				if d := apart(from, p, o); d < 1 {
					t.Fatalf("from %v to %v the holder comes as near as %g mm", from, p, d)
				}
			}
			from = p
		}
	})
	if found[1] < 10 || found[1] == found[0] {
		t.Errorf("of %d trips %d have a way", found[0], found[1])
	}
}

// apart is how far (mm) a holder of 6 mm that is carried along a way stays from an
// obstacle along X or Y, at least.
func apart(a, b plane.Point, o Obstacle) float64 {
	var swept, ring []float64
	for _, p := range []plane.Point{a, b} {
		x, y := p.MM()
		swept = append(swept, x-4, y-4, x+4, y-4, x+4, y+4, x-4, y+4)
	}
	for i := range 5 {
		x, y := o.Corners[i%4].MM()
		ring = append(ring, x, y)
	}
	var points []geom.Point
	for i := 0; i < len(swept); i += 2 {
		points = append(points, geom.XY{X: swept[i], Y: swept[i+1]}.AsPoint())
	}
	clamp := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(ring, geom.DimXY))}).AsGeometry()
	if d, ok := geom.Distance(geom.NewMultiPoint(points).ConvexHull(), clamp); ok && d == 0 {
		return 0
	}
	return 1
}

// floods reports whether steps of a millimetre over a grid lead from one place to
// another.
func floods(f *Field, t Trip) bool {
	type cell struct{ x, y int }
	at := func(c cell) plane.Point { return plane.At(float64(c.x), float64(c.y)) }
	start := cell{int(plane.MM(t.From.X)), int(plane.MM(t.From.Y))}
	seen, queue := map[cell]bool{start: true}, []cell{start}
	if f.Blocked(t.From, t.From, t.FromZ) >= 0 {
		return false
	}
	for len(queue) > 0 {
		c := queue[0]
		queue = queue[1:]
		if at(c) == t.To {
			return true
		}
		for _, d := range []cell{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			next := cell{c.x + d.x, c.y + d.y}
			if next.x < 0 || next.y < 0 || next.x > 100 || next.y > 100 || seen[next] || f.Blocked(at(c), at(next), t.FromZ) >= 0 {
				continue
			}
			seen[next] = true
			queue = append(queue, next)
		}
	}
	return false
}
