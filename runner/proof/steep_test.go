package proof

import (
	"fmt"
	"math"
	"testing"
)

// The rule counts the way from any point of a stroke to any later one, however
// the program parts it, and lets lifting be.
func TestSteepPress(t *testing.T) {
	stairs := "G1 Z0 F300\n"
	for i := range 400 { // 0.001 mm of way and 0.002 mm of press at a time, each within the rounding
		stairs += fmt.Sprintf("G1 X%.3f Z-%.3f\n", 10+float64(i+1)*0.001, float64(i+1)*0.002)
	}
	for _, c := range []struct {
		name, moves string
		found       string // "" if a limit of 1 mm a mm is kept
	}{
		{"as steep as allowed", "G1 Z0 F300\nX12 Z-2\nX14 Z-2\nX16 Z-4", ""},
		{"straight down", "G1 Z-2 F300\nX14", "2.000 mm deeper on 0.000 mm of way at line 4"},
		{"straight down by the rounding of two heights", "G1 Z-0.002 F300\nX14", ""},
		{"straight down on the way", "G1 Z0 F300\nX14 Z-1\nZ-2\nX16", "1.000 mm deeper on 0.000 mm of way at line 6"},
		{"a little too steep", "G1 Z0 F300\nX12 Z-2.01", "2.010 mm deeper on 2.000 mm of way at line 5"},
		{"a steep part between gentle ones", "G1 Z0 F300\nX20 Z-1\nX20.5 Z-2\nX30 Z-2.1", "1.000 mm deeper on 0.500 mm of way at line 6"},
		{"lifted straight up", "G1 Z0 F300\nX14 Z-4\nZ-1\nX18", ""},
		{"pressed again after a lift", "G1 Z0 F300\nX14 Z-4\nZ-1\nX14.5 Z-4", "3.000 mm deeper on 0.500 mm of way at line 7"},
		{"in stairs", stairs, "0.006 mm deeper on 0.003 mm of way at line 7, and 132 more"},
		{"there and back", "G1 Z0 F300\nX12 Z-2\nX10 Z-4", ""},
		{"along an arc", "G1 Z0 F300\nG3 X10 Y10 I0 J-5 Z-5", ""}, // half a circle, 15.7 mm
		{"too steep along an arc", "G1 Z0 F300\nG3 X10 Y18 I0 J-1 Z-4", "4.000 mm deeper on 3.142 mm of way at line 5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, faults := Read("steep.nc", []byte("G21 G90 G94 G17\nG0 Z5\nG0 X10 Y20\n"+c.moves+"\nG0 Z5\nM2\n"))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			v := steepPress(p, &Limits{SteepestPress: 1})
			got := v.result()
			if got.OK != (c.found == "") || !got.OK && got.Found != c.found {
				t.Errorf("%v: %s, want %q", got.OK, got.Found, c.found)
			}
		})
	}
	p, _ := Read("steep.nc", []byte("G21 G90 G94 G17\nG0 Z5\nG0 X10 Y20\nG1 Z-2 F300\nG0 Z5\nM2\n"))
	if steepPress(p, &Limits{SteepestPress: math.Inf(1)}) != nil {
		t.Error("a limit is checked where there is none")
	}
	if steepPress(p, &Limits{Loose: true}) != nil {
		t.Error("a limit is checked that is not known")
	}
}
