package proof

import (
	"strings"
	"testing"
)

// waiting is a program with one dot at X10 Y20 that is held at a depth of 1 mm.
func waiting(dwell string) string {
	return "G21 G17 G90 G94 G40 G49\nG0 Z5\nG0 X10 Y20\nG1 Z-1 F300\n" + dwell + "\nG1 Z5 F300\nG0 X0 Y300\nM2\n"
}

// A dwell on the paper is allowed in a place that says so, no deeper and no
// longer than it says, and nowhere else.
func TestWaitsOnThePaper(t *testing.T) {
	here := Wait{Rect: Rect{9, 19, 11, 21}, Depth: 1, Seconds: 4}
	for name, c := range map[string]struct {
		dwell string
		waits []Wait
		ok    bool
	}{
		"nowhere stated":    {"G4 P1", nil, false},
		"in its place":      {"G4 P1", []Wait{here}, true},
		"as long as stated": {"G4 P4", []Wait{here}, true},
		"longer":            {"G4 P4.01", []Wait{here}, false},
		"longer in two":     {"G4 P2.5\nG4 P2.5", []Wait{here}, false},
		"deeper":            {"G4 P1", []Wait{{here.Rect, 0.99, 4}}, false},
		"to the left":       {"G4 P1", []Wait{{Rect{10.1, 19, 11, 21}, 1, 4}}, false},
		"below":             {"G4 P1", []Wait{{Rect{9, 20.1, 11, 21}, 1, 4}}, false},
		"in another":        {"G4 P1", []Wait{{Rect{50, 19, 51, 21}, 1, 4}, here}, true},
		"of all zeros":      {"G4 P1", []Wait{{}}, false},
		"a pause":           {"M0", []Wait{here}, false},
	} {
		p, faults := Read("wait.nc", []byte(waiting(c.dwell)))
		if len(faults) > 0 {
			t.Fatal(name, faults)
		}
		lim := goodLimits()
		lim.Strokes, lim.Rest, lim.Waits = 1, Point{0, 300, 5}, c.waits
		broken := strings.Join(failed(Check(p, lim)), ", ")
		if want := map[bool]string{true: "", false: NoStanding}[c.ok]; broken != want && !(name == "a pause" && strings.Contains(broken, NoStanding)) {
			t.Errorf("%s: breaks %q", name, broken)
		}
	}
}
