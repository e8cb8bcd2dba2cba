package decode_test

import (
	"math"
	"testing"

	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// An open line that is drawn twice, from the same end or the other, is read
// once and pointed out; lines that only share ends or points are not.
func TestOpenLinesDrawnTwice(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) string { return groups(0, "LINE", 10, x1, 20, y1, 11, x2, 21, y2) }
	wide := func(width float64, x1, y1, x2, y2 float64) string {
		return groups(0, "LWPOLYLINE", 90, 2, 70, 0, 43, width, 10, x1, 20, y1, 10, x2, 20, y2)
	}
	zigzag := line(0, 0, 10, 0) + line(10, 0, 20, 5) + line(20, 5, 30, 0)
	for name, c := range map[string]struct {
		entities string
		contours int
		length   float64 // mm of all contours
		twice    bool
	}{
		"one line":                 {line(0, 0, 10, 0), 1, 10, false},
		"the same again":           {line(0, 0, 10, 0) + line(0, 0, 10, 0), 1, 10, true},
		"the same back":            {line(0, 0, 10, 0) + line(10, 0, 0, 0), 1, 10, true},
		"three times":              {line(0, 0, 10, 0) + line(10, 0, 0, 0) + line(0, 0, 10, 0), 1, 10, true},
		"a joined line again":      {zigzag + zigzag, 1, 10 + 2*math.Hypot(10, 5), true},
		"two that share an end":    {line(0, 0, 10, 0) + line(0, 0, 0, 10), 1, 20, false},
		"with widths":              {wide(2, 0, 0, 10, 0) + wide(2, 0, 0, 10, 0), 1, 10, true},
		"with widths, back":        {wide(2, 0, 0, 10, 0) + wide(2, 10, 0, 0, 0), 1, 10, true},
		"with other widths":        {wide(2, 0, 0, 10, 0) + wide(3, 0, 0, 10, 0), 2, 20, false},
		"with widths, not as long": {wide(2, 0, 0, 10, 0) + wide(2, 0, 0, 9, 0), 2, 19, false},
	} {
		d, problems := decode.Drawing(dxf("", c.entities), inMM)
		twice := false
		for _, p := range problems {
			twice = twice || p.Code == "drawn-twice"
		}
		total := 0.0
		for _, k := range d.Contours {
			total += length(k)
		}
		if twice != c.twice || len(d.Contours) != c.contours || total < c.length-1e-9 || total > c.length+1e-9 {
			t.Errorf("%s: %d contours, %g mm, drawn twice: %v; want %d, %g mm, %v (%v)", name, len(d.Contours), total, twice, c.contours, c.length, c.twice, problems)
		}
	}
	stroke := `<path d="M30 30h20" fill="none" stroke="#000" stroke-width="2" stroke-linecap="round"/>`
	if d, problems := decode.Drawing(page(stroke+stroke), drawing.Options{}); len(d.Contours) != 1 || len(problems) != 1 || problems[0].Code != "drawn-twice" {
		t.Errorf("a stroke drawn twice: %d contours, %v", len(d.Contours), problems)
	}
	// Of one width before they were stretched, along the line and across it.
	along := `<path transform="scale(4 1)" d="M10 40h5" stroke="#000" stroke-width="2"/>`
	across := `<path transform="scale(1 4)" d="M40 10h20" stroke="#000" stroke-width="2"/>`
	for drawn, want := range map[string]int{along + along: 1, along + across: 2} {
		if d, problems := decode.Drawing(page(drawn), drawing.Options{}); len(d.Contours) != want {
			t.Errorf("%s: %d contours, want %d; %v", drawn, len(d.Contours), want, problems)
		}
	}
}
