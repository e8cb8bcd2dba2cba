package proof

import "testing"

// Figures worked out by hand from the text of the programs.
func TestPlunges(t *testing.T) {
	for name, c := range map[string]struct {
		text              string
		strokes           int
		longest, steepest float64
	}{
		"down on the way": {"G1 X10 Z-2 F300\nX20\nX30 Z2\n", 1, 0, 0.3999},
		"straight down":   {"G1 Z-1.5 F300\nX10\nX14 Z-2.5\nZ2\n", 1, 1.5, 0.24975},
		"in two steps":    {"G1 Z-0.5 F300\nZ-1.2\nX10\nZ2\n", 1, 1.2, 0},
		"a dab":           {"G1 Z-0.8 F300\nZ2\n", 1, 0.8, 0},
		"again inside":    {"G1 Z-0.05 F300\nX10\nZ-0.9\nX20\nZ2\n", 1, 0.85, 0},
		"touched lightly": {"G1 Z-0.09 F300\nX10\nZ2\n", 1, 0.09, 0},
		"two strokes":     {"G1 Z-0.5 F300\nX10\nZ2\nG0 X20\nG1 Z-0.7\nX30\nZ2\n", 2, 0.7, 0},
		"half an arc":     {"G1 Z-0.05 F300\nG2 X10 Y0 I5 J0 Z-1.05\nG1 Z2\n", 1, 0.05, 0.0636},
	} {
		path, faults := Read("a.gcode", []byte("G21 G17 G90 G94\nG0 Z2\nG0 X0 Y0\n"+c.text+"M2\n"))
		if len(faults) > 0 {
			t.Errorf("%s: %v", name, faults)
			continue
		}
		m := Measure(path, Timing{}, nil)
		if len(m.Strokes) != c.strokes {
			t.Fatalf("%s: %d strokes, want %d", name, len(m.Strokes), c.strokes)
		}
		longest, steepest := 0.0, 0.0
		for _, s := range m.Strokes {
			longest, steepest = max(longest, s.Plunge), max(steepest, s.Steepest)
		}
		near(t, name+": longest", longest, c.longest, 1e-9)
		near(t, name+": steepest", steepest, c.steepest, 1e-3)
	}
}
