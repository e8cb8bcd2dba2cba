package proof

import (
	"math"
	"strings"
	"testing"
)

// Two strokes of 50 mm: a load must last for both, or for one if the program pauses
// between them. At 2 mm of press the mark is 1.2 mm wide, with half a disc at
// each end.
func TestLoadLasts(t *testing.T) {
	const stroke = "G1 Z-2 F300\nX60 F600\nG0 Z5\n"
	program := "G21 G90 G94\nG0 Z5\nG0 X10 Y20\n" + stroke + "G0 X10 Y40\n" + stroke + "M2\n"
	paused := strings.Replace(program, "G0 X10 Y40", "M0\nG0 Z5\nG0 X10 Y40", 1)
	brush := goodLimits().Brush
	area := 50*1.2 + math.Pi/8*2*1.2*1.2
	for _, c := range []struct {
		text string
		load Load
		want bool
	}{
		{program, Load{Length: 99.9}, false}, {program, Load{Length: 100.1}, true},
		{paused, Load{Length: 49.9}, false}, {paused, Load{Length: 50.1}, true},
		{program, Load{Area: 2*area - 0.1}, false}, {program, Load{Area: 2*area + 0.1}, true},
		{paused, Load{Area: area - 0.1}, false}, {paused, Load{Area: area + 0.1}, true},
	} {
		p, faults := Read("", []byte(c.text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		v := loadLasts(p, &Limits{Load: &c.load, Brush: brush})
		if got := v.result(); got.OK != c.want {
			t.Errorf("%+v: %+v", c.load, got)
		}
	}
	if loadLasts(&Path{}, &Limits{}) != nil {
		t.Error("a rule without a load")
	}
}
