package proof

import (
	"slices"
	"strings"
	"testing"
)

// What our own heads state is used; nonsense in a comment is not.
func TestStated(t *testing.T) {
	for _, c := range []struct {
		comment string
		want    Timing
	}{
		{"(timed with travel 3000, z 600, acceleration 150, corner 0.05)", Timing{Travel: 3000, ZFeed: 600, Acceleration: 150, Corner: 0.05}},
		{"(timed with travel fast, z -600, acceleration 1e99, corner NaN)", Timing{}},
		{"(about 5 min)", Timing{}},
		{"(timed with travel 3000, z 600, acceleration 150, corner 0)\n(timed by axis x 3000 150.5)\n(timed by axis y 2400 120)\n(timed by axis z 600 80)",
			Timing{Travel: 3000, ZFeed: 600, Acceleration: 150, Axes: [3]AxisMotion{{3000, 150.5}, {2400, 120}, {600, 80}}}},
		{"(timed by axis w 3000 150)\n(timed by axis y fast -1)\n(timed by axis z 600)\n(timed by axis xy 1 2)", Timing{}},
	} {
		p, faults := Read("p.nc", []byte(c.comment+"\nG21 G90\nM2\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := p.StatedTiming(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.comment, got, c.want)
		}
	}
	text := "G21 G90 G94\nG0 Z5\n(stroke 1, check mark a)\nG0 X10\nG1 Z-1 F300\nG1 X20\nG0 Z5\n(stroke 2)\nG0 X30\nG1 Z-1 F300\nG1 X40\nG0 Z5\nM2\n"
	p, _ := Read("p.nc", []byte(text))
	var out strings.Builder
	if err := Report(&out, Reading{Path: p, Measures: Measure(p, Timing{}, nil)}); err != nil {
		t.Fatal(err)
	}
	if first, _, _ := strings.Cut(out.String(), "\n"); !strings.HasSuffix(first, "1 stroke and 1 check mark") {
		t.Errorf("the report begins %q", first)
	}
}

// A head states where the brush may stay on the paper. What it states elsewhere, of a
// place wider than any mark, or for longer than any trial does not count.
func TestStatedWaits(t *testing.T) {
	const stated = "(may stay in X9.00 to 11.00, Y-1.00 to 21.00, Z-1.00 for 4.00 s)\n"
	want := Wait{Rect: Rect{9, -1, 11, 21}, Depth: 1, Seconds: 4}
	for name, c := range map[string]struct {
		text string
		ok   bool
	}{
		"in the head":      {stated + waiting("G4 P1"), true},
		"nowhere":          {waiting("G4 P1"), false},
		"behind the head":  {strings.Replace(waiting("G4 P1"), "G0 X10", stated+"G0 X10", 1), false},
		"a wide place":     {strings.Replace(stated, "X9.00", "X-60.00", 1) + waiting("G4 P1"), false},
		"a long stay":      {strings.Replace(stated, "4.00", "61.00", 1) + waiting("G4 P1"), false},
		"above the paper":  {strings.Replace(stated, "Z-", "Z", 1) + waiting("G4 P1"), false},
		"words":            {strings.Replace(stated, "9.00", "here", 1) + waiting("G4 P1"), false},
		"no number":        {strings.Replace(stated, "9.00", "NaN", 1) + waiting("G4 P1"), false},
		"fewer words":      {strings.Replace(stated, " for 4.00 s", "", 1) + waiting("G4 P1"), false},
		"of another sense": {strings.Replace(stated, "may", "must", 1) + waiting("G4 P1"), false},
	} {
		p, faults := Read("p.nc", []byte(c.text))
		if len(faults) > 0 {
			t.Fatal(name, faults)
		}
		got := p.StatedWaits()
		if c.ok && (len(got) != 1 || got[0] != want) || !c.ok && len(got) > 0 {
			t.Errorf("%s: %+v", name, got)
		}
		broken := failed(Check(p, Limits{Loose: true, Strokes: -1, Waits: got}))
		if slices.Contains(broken, NoStanding) == c.ok {
			t.Errorf("%s: breaks %v", name, broken)
		}
	}
}
