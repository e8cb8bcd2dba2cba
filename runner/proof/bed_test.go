package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// hump is a bed of second degree, 0.8 mm high in the middle of the sheet of
// goodLimits, touched on a grid of three rows each way.
func hump(x, y float64) float64 {
	u, v := (x-105)/105, (y-148.5)/148.5
	return 0.3*u - 0.5*u*u - 0.3*v*v
}

func humpBed(t *testing.T) *Bed {
	t.Helper()
	var touches []Point
	for _, x := range [...]float64{10, 105, 200} {
		for _, y := range [...]float64{10, 148.5, 287} {
			touches = append(touches, Point{x, y, hump(x, y) + 3}) // whatever Z was when they were touched
		}
	}
	b, err := NewBed(touches, Point{X: 12, Y: 12}, Rect{0, 0, 210, 297}, true)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A surface of second degree is found again from nine touches, as is a plane from
// three; outside the area the edge counts; places in a line make none.
func TestBedHeights(t *testing.T) {
	b := humpBed(t)
	for _, p := range [][2]float64{{12, 12}, {0, 0}, {105, 148.5}, {210, 297}, {37, 251}} {
		if got, want := b.Height(p[0], p[1]), hump(p[0], p[1])-hump(12, 12); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %v the bed is %g high, want %g", p, got, want)
		}
	}
	if b.Height(-40, 500) != b.Height(0, 297) {
		t.Error("the bed goes on rising outside the sheet")
	}
	plane, err := NewBed([]Point{{0, 0, 1}, {100, 0, 2}, {0, 200, 1.5}}, Point{}, Rect{0, 0, 100, 200}, false)
	if err != nil {
		t.Fatal(err)
	}
	if got := plane.Height(50, 100); math.Abs(got-0.75) > 1e-12 {
		t.Errorf("the plane is %g high in its middle", got)
	}
	for _, few := range [][]Point{nil, {{0, 0, 1}, {100, 0, 2}}, {{0, 0, 1}, {50, 50, 2}, {100, 100, 3}}} {
		if _, err := NewBed(few, Point{}, Rect{0, 0, 100, 100}, false); err == nil {
			t.Errorf("%v make a plane", few)
		}
	}
}

// overHump is a program of one stroke across the hump in so many parts, at a
// press, with travel at a height.
func overHump(parts int, press, travel float64) string {
	var b strings.Builder
	z := func(x float64) float64 { return hump(x, 100) - hump(12, 12) - press }
	fmt.Fprintf(&b, "G21 G90 G94 G17\nG0 Z%.4f\nG0 X20 Y100\nG1 Z%.4f F300\n", travel, z(20))
	for i := 1; i <= parts; i++ {
		x := 20 + 170*float64(i)/float64(parts)
		fmt.Fprintf(&b, "G1 X%.4f Z%.4f F600\n", x, z(x))
	}
	fmt.Fprintf(&b, "G0 Z%.4f\nG0 X0 Y0\nM0\nM2\n", travel)
	return b.String()
}

// A program that follows the bed keeps all rules and is read as a stroke of even
// press; one that follows it in too few parts, travels too low above its middle,
// or is pressed deeper than the safe press over it, does not.
func TestFollowsBed(t *testing.T) {
	lim := goodLimits()
	lim.Strokes, lim.Bed = 1, humpBed(t)
	rise := hump(105, 148.5) - hump(12, 12) + 0.05
	for _, c := range []struct {
		name          string
		parts         int
		press, travel float64
		caught        string
	}{
		{"good", 12, 1, 5 + rise, ""},
		{"in too few parts", 3, 1, 5 + rise, FollowsBed},
		{"travels too low over the middle", 12, 1, 5 + rise - 0.1, FollowsBed},
		{"a hundredth too deep", 12, 5.01, 5 + rise, SafePress},
		{"between its ends too deep", 11, 5, 5 + rise, FollowsBed},
	} {
		p, faults := Read("hump.nc", []byte(overHump(c.parts, c.press, c.travel)))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		got := strings.Join(failed(Check(p, lim)), "|")
		if c.caught == "" && got != "" || !strings.HasSuffix(got, c.caught) && !strings.HasPrefix(got, c.caught) {
			t.Errorf("%s: caught by %q, want %q", c.name, got, c.caught)
		}
		m := Measure(OnBed(p, lim.Bed, 0, 0), Timing{}, lim.Brush)
		if c.parts == 12 && (len(m.Strokes) != 1 || math.Abs(m.Lowest+c.press) > 0.0002 || math.Abs(m.Strokes[0].Widest-m.Strokes[0].Narrowest) > 0.0003) {
			t.Errorf("%s: read as %+v", c.name, m.Strokes)
		}
	}
	// An arc would not follow it.
	p, _ := Read("arc.nc", readFile(t, "good.nc"))
	if got := strings.Join(failed(Check(p, lim)), "|"); !strings.Contains(got, Understood) {
		t.Errorf("arcs over a bed: %q", got)
	}
}
