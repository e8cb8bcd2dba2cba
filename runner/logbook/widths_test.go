package logbook

import (
	"math"
	"strings"
	"testing"
)

// sampleWidths are those of two sheets, the second painted with corrected rows.
func sampleWidths() Widths {
	return Widths{Layer: "reeds", Hex: "#6c7a45", Now: []Rung{{0, 0, 0}, {1, 0.7, 0}, {5, 3, 0}}, Sheets: []SheetWidths{
		{"Sheet 1 & brush", []WidthDot{{2, 0.9, 1.1, 0.02}, {1, 0.5, 0.6, 0}}}, {"Sheet 2", []WidthDot{{0.7, 0.5, 0.49, 0.01}, {1.5, 0.9, 0.93, 0.01}}}}}
}

// The root mean square of errors of 0.3 and -0.4 mm is 0.25 √2, and the farthest is -0.4.
func TestOff(t *testing.T) {
	s := SheetWidths{Dots: []WidthDot{{Asked: 1, Measured: 1.3}, {Asked: 2, Measured: 1.6}}}
	if got, want := s.Off(), 0.25*math.Sqrt2; math.Abs(got-want) > 1e-12 {
		t.Errorf("%v mm off, want %v", got, want)
	}
	if got := s.Worst(); math.Abs(got+0.4) > 1e-12 {
		t.Errorf("%v mm off at most, want -0.4", got)
	}
	if got := (SheetWidths{}).Off(); got != 0 {
		t.Errorf("%v mm off without a dot", got)
	}
}

// Sheets differ by their marks; the newest is filled, and the marks begin again.
func TestMarks(t *testing.T) {
	v := &Widths{Sheets: make([]SheetWidths, len(shapes)+1)}
	seen := map[string]bool{}
	for i := range v.Sheets {
		key := string(v.Key(i))
		if seen[key] {
			t.Errorf("sheet %d has the mark of another", i+1)
		}
		if filled, last := strings.Contains(key, "dot last"), i == len(v.Sheets)-1; filled != last {
			t.Errorf("sheet %d of %d is filled: %v", i+1, len(v.Sheets), filled)
		}
		seen[key] = true
	}
}

// A chart has room for every dot and bar, and the line of equality runs from corner to
// corner of its paper.
func TestAskedMeasured(t *testing.T) {
	v := &Widths{Sheets: []SheetWidths{{"one", []WidthDot{{1, 0.5, 1.94, 0.02}}}}}
	got := string(askedMeasured(v))
	for _, want := range []string{`class="taper" d="M44 354L386 12"`, `d="M129.5 22.26m`, `d="M129.5 29.1V15.42"`} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
	if askedMeasured(&Widths{}) != "" || pressWidth(&Widths{}) != "" {
		t.Error("a chart without dots")
	}
}
