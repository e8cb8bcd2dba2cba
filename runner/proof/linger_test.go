package proof

import (
	"math"
	"strings"
	"testing"
)

// A mark with a square corner, at which the machine stops: by uniform
// acceleration it loses (v/a)(1-1/2) on each side if the mark is long enough.
func TestLingers(t *testing.T) {
	brush, err := NewBrush([]Rung{{0, 0.2}, {2, 3}})
	if err != nil {
		t.Fatal(err)
	}
	timing := Timing{Corner: 0, Axes: [3]AxisMotion{{3000, 150}, {3000, 150}, {600, 100}}}
	p := program(t, "G0 X0 Y0\nG1 Z-2 F300\nX50 F900\nY50\nX100\nG0 Z5")
	got := p.Lingers(timing, brush)
	if len(got) != 2 {
		t.Fatalf("%d places, want two corners: %+v", len(got), got)
	}
	for i, at := range []Point{{50, 0, -2}, {50, 50, -2}} {
		if got[i].At != at || got[i].Stroke != 0 || got[i].Slowest != 0 || got[i].Width != 3 {
			t.Errorf("place %d: %+v", i, got[i])
		}
		near(t, "seconds", got[i].Seconds, 15.0/150, 1e-9)
	}
	// A mark of 0.2 mm: the machine needs 0.1 mm of it on each side of the corner,
	// in √(2·0.1/150) s each, less what the feed takes.
	p = program(t, "G0 X0 Y0\nG1 Z0 F300\nX50 F900\nY50\nG0 Z5")
	if got = p.Lingers(timing, brush); len(got) != 1 {
		t.Fatalf("%d places", len(got))
	}
	near(t, "a thin mark", got[0].Seconds, 2*math.Sqrt(2*0.1/150)-0.2/15, 1e-9)
	// Taken on a wide circle, the corner is no place to linger; nor is one above
	// the paper, nor the end of a stroke.
	timing.Corner = 1
	if got = p.Lingers(timing, brush); len(got) != 0 {
		t.Errorf("lingers at %+v", got)
	}
	timing.Corner = 0
	if got = program(t, "G0 X0 Y0\nG1 Z0.1 F300\nX50 F900\nY50\nG0 Z5").Lingers(timing, brush); len(got) != 0 {
		t.Errorf("lingers above the paper at %+v", got)
	}
	// Corners within one mark of each other are one place.
	p = program(t, "G0 X0 Y0\nG1 Z-2 F300\nX50 F900\n%sG0 Z5", strings.Repeat("G91 X0.2 Y0.2\nX0.2 Y-0.2\n", 5)+"G90 X90\n")
	if got = p.Lingers(timing, brush); len(got) != 1 {
		t.Errorf("%d places: %+v", len(got), got)
	}
}

// The time to a place of a move, and from there on, is the time of the move.
func TestTimeTo(t *testing.T) {
	for _, c := range []struct{ length, enter, leave, speed float64 }{{100, 0, 0, 15}, {1, 0, 0, 15}, {3, 5, 10, 20}, {100, 15, 0, 15}, {3, 10, 5, 20}} {
		l := leg{length: c.length, speed: c.speed}
		whole := trapezoid(c.length, c.enter, c.leave, c.speed, 100)
		before := 0.0
		for i := range 101 {
			way := c.length * float64(i) / 100
			s := l.timeTo(way, c.enter, c.leave, 100)
			near(t, "the rest", s+l.timeTo(c.length-way, c.leave, c.enter, 100), whole, 1e-9)
			if s < before-1e-12 {
				t.Errorf("%+v: %g s to %g mm", c, s, way)
			}
			before = s
		}
		near(t, "the whole", before, whole, 1e-9)
	}
}
