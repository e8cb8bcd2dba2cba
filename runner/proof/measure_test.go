package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Times of single ways with uniform acceleration (L. Biagiotti, C. Melchiorri,
// Trajectory Planning for Automatic Machines and Robots, 2008, chapter 3).
func TestTrapezoid(t *testing.T) {
	for _, c := range []struct{ length, enter, leave, speed, want float64 }{
		{100, 0, 0, 15, 6.816667},
		{1, 0, 0, 15, 0.2},
		{2.25, 0, 0, 15, 0.3},
		{10, 0, 0, 15, 0.816667},
		{100, 15, 0, 15, 6.741667},
		{3, 5, 10, 20, 0.230788655},
	} {
		near(t, fmt.Sprint(c), trapezoid(c.length, c.enter, c.leave, c.speed, 100), c.want, 1e-6)
	}
	near(t, "exact", trapezoid(100, 0, 0, 15, 100), 100.0/15+0.15, 1e-12)
	near(t, "exact", trapezoid(3, 5, 10, 20, 100), (2*math.Sqrt(362.5)-15)/100, 1e-12)
}

// Speeds on the circle that touches both legs and comes within 0.05 mm of the
// corner, at 100 mm/s²: no source, the geometry is worked out by hand.
func TestCornerSpeed(t *testing.T) {
	timing := Timing{Acceleration: 100, Corner: 0.05}
	for _, c := range []struct{ between, want float64 }{{90, 3.474344}, {135, 7.790081}, {45, 1.760560}} {
		turn := math.Pi - c.between*math.Pi/180
		got := timing.cornerSpeed(Point{X: 1}, Point{X: math.Cos(turn), Y: math.Sin(turn)}, 1000)
		near(t, fmt.Sprint(c.between), got, c.want, 1e-6)
	}
	if v := timing.cornerSpeed(Point{X: 1}, Point{X: 1}, 1); !math.IsInf(v, 1) {
		t.Errorf("straight on at %g", v)
	}
	if v := timing.cornerSpeed(Point{X: 1}, Point{X: -1}, 1); v != 0 {
		t.Errorf("back at %g", v)
	}
	// Short chords of a circle of radius 2 are gone round as the circle is.
	const step = 0.01
	got := Timing{Acceleration: 100, Corner: 1}.cornerSpeed(Point{X: 1}, Point{X: math.Cos(step), Y: math.Sin(step)}, 2*math.Tan(step/2))
	near(t, "circle", got, math.Sqrt(100*2), 1e-6)
}

func TestProgramTime(t *testing.T) {
	const a = 100
	for name, c := range map[string]struct {
		text   string
		timing Timing
		want   float64
	}{
		"without acceleration": {"G1 X100 F900", Timing{}, 100.0 / 15},
		"one way (T1)":         {"G1 X100 F900", Timing{Acceleration: a}, 6.816667},
		// Two ways in one line take as long as one.
		"straight on":    {"G1 X40 F900\nX100", Timing{Acceleration: a}, 6.816667},
		"stop at corner": {"G1 X100 F900\nY100", Timing{Acceleration: a}, 2 * 6.816667},
		"there and back": {"G1 X100 F900\nX0", Timing{Acceleration: a, Corner: 0.05}, 2 * 6.816667},
		"round a corner": {"G1 X100 F900\nY100", Timing{Acceleration: a, Corner: 0.05},
			2 * (15.0/a + (15-3.474344)/a + (100-(2*225-3.474344*3.474344)/(2*a))/15)},
		"dwell between":      {"G1 X50 F900\nG4 P2\nG1 X100", Timing{Acceleration: a}, 2*(50.0/15+0.15) + 2},
		"pause between":      {"G1 X50 F900\nM0\nG1 X100", Timing{Acceleration: a}, 2 * (50.0/15 + 0.15)},
		"rapid":              {"G0 X100", Timing{Travel: 1500}, 4},
		"rapid of no time":   {"G0 X100", Timing{}, 0},
		"rapid held up by Z": {"G0 X30 Z45", Timing{Travel: 6000, ZFeed: 300}, 40.0 / 5},
		"feed held up by Z":  {"G1 X30 Z45 F6000", Timing{ZFeed: 300}, 40.0 / 5},
		// NISTIR 6556, 2.1.2.5: the rate holds along the path in space.
		"helix":        {"G0 X10\nG17 G3 X10 I-10 J0 Z10 F900", Timing{}, math.Hypot(20*math.Pi, 5) / 15},
		"helix of T5":  {"G0 X10\nG17 G3 X10 I-10 J0 Z10 F900", Timing{}, 4.202032},
		"inverse time": {"G93 G1 X60 F2", Timing{}, 30},
		"slow enough for the circle": {"G0 X1\nG3 X1 I-1 J0 F6000", Timing{Acceleration: a},
			// 2 pi mm at no more than sqrt(a r) = 10 mm/s
			(2*math.Pi-2*0.5)/10 + 2*0.1},
	} {
		t.Run(name, func(t *testing.T) {
			p := program(t, "G0 X0 Y0\n%s", c.text)
			near(t, "seconds", Measure(p, c.timing, nil).Seconds, c.want, 1e-6)
		})
	}
}

// More acceleration never takes longer, and a corner cut short never either;
// no program is faster than its feeds.
func TestTimeIsMonotone(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	at := func(a, e float64) float64 {
		return Measure(p, Timing{Travel: 1500, Acceleration: a, Corner: e}, nil).Seconds
	}
	least := Measure(p, Timing{Travel: 1500}, nil).Seconds
	for _, e := range []float64{0, 0.01, 0.1} {
		last := math.Inf(1)
		for _, a := range []float64{10, 50, 100, 500, 5000} {
			s := at(a, e)
			if s > last || s < least-1e-9 || s > at(a, e/2)+1e-9 {
				t.Errorf("%g s at %g mm/s², corner %g mm; %g s before, at least %g s", s, a, e, last, least)
			}
			last = s
		}
	}
}

func TestMeasure(t *testing.T) {
	p, _ := Read("good.nc", readFile(t, "good.nc"))
	m := Measure(p, Timing{Travel: 1500}, goodLimits().Brush)
	if len(m.Strokes) != 3 || m.Pauses != 1 {
		t.Fatalf("%d strokes, %d pauses", len(m.Strokes), m.Pauses)
	}
	first := m.Strokes[0]
	if first.Number != 1 || first.FirstLine != 7 || first.LastLine != 14 {
		t.Errorf("stroke 1 at lines %d to %d", first.FirstLine, first.LastLine)
	}
	near(t, "length 1", first.Length, 2+8+math.Hypot(10, 5)+math.Hypot(5, 5)+math.Hypot(5, 10)+math.Hypot(1, 2), 1e-9)
	near(t, "deepest 1", first.Deepest, -5, 0)
	near(t, "widest 1", first.Widest, 2.4, 0)
	near(t, "narrowest 1", first.Narrowest, 0.2, 0)
	second := m.Strokes[1]
	near(t, "length 2", second.Length, 5*math.Pi+15*math.Pi, 1e-9)
	near(t, "right of 2", second.Box.MaxX, 130.6, 1e-9)
	near(t, "below 2", second.Box.MinY, 99.4, 1e-9)
	near(t, "painted", m.Painted, first.Length+second.Length+10.5, 1e-9)
	near(t, "lowest", m.Lowest, -5, 0)
	near(t, "right of marks", m.Marks.MaxX, 201.1, 1e-9)
	near(t, "above marks", m.Marks.MaxY, 288.1, 1e-9)
	near(t, "waiting", m.Waiting, 0.5, 0)
	total := 0.0
	for i := range p.Moves {
		total += p.Moves[i].Length()
	}
	near(t, "all ways", m.Rapid+m.Fed, total, 1e-9)
	var feeds []string
	for _, f := range m.Feeds {
		feeds = append(feeds, fmt.Sprint(f.Feed, "x", f.Moves))
	}
	if got := strings.Join(feeds, " "); got != "300x4 600x8 750x1" {
		t.Errorf("feeds %s", got)
	}
	for i, s := range m.Strokes[1:] {
		if before := m.Strokes[i]; s.Starts < before.Starts+before.Seconds {
			t.Errorf("stroke %d starts at %g, before the last one ends", s.Number, s.Starts)
		}
	}
}

// A way that goes down through the paper's face counts from there on.
func TestContactIsClipped(t *testing.T) {
	p := program(t, "G0 X0 Y0\nG1 X70 Z-2 F700\nX140 Z5")
	m := Measure(p, Timing{}, nil)
	if len(m.Strokes) != 1 {
		t.Fatalf("%d strokes", len(m.Strokes))
	}
	s := m.Strokes[0]
	near(t, "length", s.Length, 40, 1e-9)
	near(t, "from", s.From.X, 50, 1e-9)
	near(t, "to", s.To.X, 90, 1e-9)
	near(t, "starts", s.Starts, math.Hypot(50, 5)*60/700, 1e-9)
	near(t, "travel", m.Travel, 2*math.Hypot(50, 5), 1e-9)
	for name, c := range map[string]struct {
		text    string
		strokes int
	}{
		"at the first touch":        {"G1 Z0 F300\nX10\nG0 Z5", 1},
		"touched twice":             {"G1 Z0 F300\nG0 Z1\nG1 Z0\nG0 Z5", 2},
		"a wave at the touch":       {"G1 Z-1 F300\nX10 Z0\nX20 Z-1\nG0 Z5", 1},
		"an arc dipping in":         {"G18 G2 X20 Z5 I10 K0 F300\nG0 Z5", 0},
		"an arc dipping in, deeper": {"G18 G3 X20 Z5 I10 K3 F300", 0},
		"an arc through the paper":  {"G0 Z1\nG18 G2 X20 Z1 I10 K0 F300\nG0 Z5", 0},
		"an arc below the paper":    {"G0 Z1\nG18 G3 X20 Z1 I10 K0 F300\nG0 Z5", 0},
	} {
		p := program(t, "G0 X0 Y0\n%s", c.text)
		lowest := 0.0
		for i := range p.Moves {
			lowest = min(lowest, p.Moves[i].Extent().Min.Z)
		}
		want := c.strokes
		if strings.HasPrefix(name, "an arc") && lowest < 0 {
			want = 1
		}
		if got := len(Measure(p, Timing{}, nil).Strokes); got != want {
			t.Errorf("%s: %d strokes, lowest Z %g", name, got, lowest)
		}
	}
}

// The box around an arc against its chords, for arcs in all planes.
func TestExtent(t *testing.T) {
	seed := uint32(3)
	random := func() float64 {
		seed = seed*1664525 + 1013904223
		return float64(seed>>8)/(1<<24)*20 - 10
	}
	for i := range 300 {
		s, c := math.Sincos(random())
		r := 1 + math.Abs(random())
		a, b, angle := random(), random(), random()
		es, ec := math.Sincos(angle)
		plane := 17 + i%3
		axes, offsets := [3]string{"XY", "ZX", "YZ"}[plane-17], [3]string{"IJ", "KI", "JK"}[plane-17]
		p := program(t, "G0 %c%.6f %c%.6f\nG0 X0 Y0 Z0\nG0 %c%.6f %c%.6f\nG%d G%d %c%.6f %c%.6f %c%.6f %c%.6f F100",
			axes[0], a, axes[1], b, axes[0], a+r*c, axes[1], b+r*s, plane, 2+i%2,
			axes[0], a+r*ec, axes[1], b+r*es, offsets[0], -r*c, offsets[1], -r*s)
		m := &p.Moves[len(p.Moves)-1]
		var box Box
		box.spread(m.From, true)
		m.chords(1e-7, func(_ float64, q Point) bool { box.spread(q, false); return true })
		got := m.Extent()
		for k, d := range []float64{got.Min.X - box.Min.X, got.Min.Y - box.Min.Y, got.Min.Z - box.Min.Z,
			box.Max.X - got.Max.X, box.Max.Y - got.Max.Y, box.Max.Z - got.Max.Z} {
			if d > 1e-9 || d < -1e-4 {
				t.Errorf("arc %d, side %d: off by %g", i, k, d)
			}
		}
	}
}
