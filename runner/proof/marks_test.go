package proof

import (
	"reflect"
	"testing"
)

// Marks of a brush that paints twice as wide as it is pressed.
func TestMarks(t *testing.T) {
	brush, err := NewBrush([]Rung{{Press: 0, Width: 0}, {Press: 4, Width: 8}})
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		text string
		want []Mark
	}{
		"down, along, up":  {"G1 Z-1 F300\nX10\nZ2\n", []Mark{{0, 0, 2}, {10, 0, 2}}},
		"wider on the way": {"G1 Z-1 F300\nX10 Z-2\nZ2\n", []Mark{{0, 0, 2}, {10, 0, 4}}},
		"jumps":            {"G1 Z-1 F300\nX4\nZ-2\nX8\nZ-1\nX9\nZ2\n", []Mark{{0, 0, 2}, {4, 0, 2}, {4, 0, 4}, {8, 0, 4}, {8, 0, 2}, {9, 0, 2}}},
		"a touch between":  {"G1 Z-1 F300\nX4\nZ-3\nZ-1.5\nX8\nZ2\n", []Mark{{0, 0, 2}, {4, 0, 2}, {4, 0, 6}, {4, 0, 3}, {8, 0, 3}}},
		"a dip between":    {"G1 Z-1 F300\nX4\nZ-0.5\nZ-1\nX8\nZ2\n", []Mark{{0, 0, 2}, {4, 0, 2}, {8, 0, 2}}},
		"a dab":            {"G1 Z-1 F300\nZ-3\nZ-2\nZ2\n", []Mark{{0, 0, 6}}},
		"deeper first":     {"G1 Z-3 F300\nZ-1\nX5\nZ-2\nZ2\n", []Mark{{0, 0, 6}, {0, 0, 2}, {5, 0, 2}, {5, 0, 4}}},
	} {
		path, faults := Read("a", []byte("G21 G17 G90 G94\nG0 Z2\nG0 X0 Y0\n"+c.text+"M2\n"))
		if len(faults) > 0 {
			t.Fatalf("%s: %v", name, faults)
		}
		if got := path.Marks(brush); len(got) != 1 || !reflect.DeepEqual(got[0], c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
