package decode_test

import (
	"strings"
	"testing"

	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// Closed outlines with a constant width far below their inside are pointed out
// together, with their number; others are not. The measure is closed form: a
// square of 20 mm is 20 mm wide inside.
func TestThinOutlines(t *testing.T) {
	square := func(x int, width any, more ...any) string {
		return groups(0, "LWPOLYLINE", 90, 4, 70, 1, 43, width, 10, x, 20, 0, 10, x+20, 20, 0, 10, x+20, 20, 20, 10, x, 20, 20) + groups(more...)
	}
	for _, c := range []struct{ entities, want string }{
		{square(0, 1.9), "1 closed outline has a constant width"},
		{square(0, 0.25) + square(30, 0.5) + square(60, 0), "2 closed outlines have a constant width in the drawing (the first 0.25 mm)"},
		{square(0, 2.1), ""},
		{square(0, 0), ""},
		{groups(0, "LWPOLYLINE", 90, 4, 70, 0, 43, 0.5, 10, 0, 20, 0, 10, 20, 20, 0, 10, 20, 20, 20, 10, 0, 20, 20), ""},                               // open
		{groups(0, "LWPOLYLINE", 90, 3, 70, 1, 10, 0, 20, 0, 40, 0.5, 41, 0.7, 10, 20, 20, 0, 40, 0.7, 41, 0.5, 10, 20, 20, 20, 40, 0.5, 41, 0.5), ""}, // swelling
		{groups(0, "LWPOLYLINE", 90, 2, 70, 1, 43, 0.5, 10, 0, 20, 0, 42, 1, 10, 20, 20, 0, 42, 1), "1 closed outline has a constant width"},           // a circle of bulges
		{groups(0, "LWPOLYLINE", 90, 2, 70, 1, 43, 0.5, 10, 0, 20, 0, 10, 20, 20, 0), ""},                                                              // there and back
		{square(0, 0.5, 8, "a"), "will be painted as lines along its edge, not as areas"},
	} {
		_, problems := decode.Drawing(dxf("", c.entities), inMM)
		got := ""
		for _, p := range problems {
			got += p.Message
			if p.Code != "outline-width" || p.Fix.None() {
				t.Errorf("%v", p)
			}
		}
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if _, problems := decode.Drawing(page(`<circle r="20" cx="50" cy="40" fill="none" stroke="red"/>`), drawing.Options{}); len(problems) != 0 {
		t.Errorf("a stroke that an SVG states: %v", problems)
	}
}
