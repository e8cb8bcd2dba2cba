package proof

import (
	"slices"
	"strings"
	"testing"
)

// A lowering whose position is stated only after it keeps every other rule.
func TestLoweringNeedsItsPlace(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		safe float64 // height, 0 where it is not known
		ok   bool
	}{
		"stated after":          {"G0 Z6\nG1 Z-2 F300\nX100 Y100 F500\nG0 Z6\nM2\n", 0, false},
		"stated after, limits":  {"G0 Z6\nG1 Z-2 F300\nX100 Y100 F500\nG0 Z6\nM2\n", 6, false},
		"stated before":         {"G0 Z6\nG0 X10 Y10\nG1 Z-2 F300\nX100 Y100 F500\nG0 Z6\nM2\n", 0, true},
		"one by one":            {"G0 Z6\nG0 X10\nY10\nG1 Z-2 F300\nX100 F500\nG0 Z6\nM2\n", 6, true},
		"above the paper":       {"G0 Z6\nG0 X10\nG1 Z1 F300\nG0 Z6\nM2\n", 6, false},
		"above, no safe height": {"G0 Z6\nG0 X10\nG1 Z1 F300\nG0 Z6\nM2\n", 0, true},
		"by an arc":             {"G0 Z6\nG1 X10 F300\nG18 G2 X20 Z6 R5.5\nG0 Z6\nM2\n", 6, false},
	} {
		p, faults := Read(name, []byte("G21 G17 G90 G94\n"+c.text))
		if len(faults) > 0 {
			t.Fatal(name, faults)
		}
		if broken := slices.Contains(failed(Check(p, Limits{Loose: true, Strokes: -1, SafeHeight: c.safe})), PlacedDown); broken == c.ok {
			t.Errorf("%s: broken %v", name, broken)
		}
	}
}

// A program cut off after any byte breaks a rule, unless nothing but the last
// line end is lost.
func TestCutOff(t *testing.T) {
	good, lim := string(readFile(t, "good.nc")), goodLimits()
	for n := range len(good) - 1 {
		p, _ := Read("cut.nc", []byte(good[:n]))
		if Passed(Check(p, lim)) {
			t.Errorf("cut off after byte %d: %q", n, good[:n])
		}
	}
}

// continued is a program that sets the modes, lifts, and goes on with another
// from a line (from 1).
func continued(good string, line int) string {
	return "G21 G17 G90 G94\nG0 Z5\n" + strings.Join(strings.SplitAfter(good, "\n")[line-1:], "")
}

// A program continued from any line breaks a rule, or paints the last strokes
// of the whole one as they are; from the line that is given for a stroke, it
// paints that one and all after it.
func TestContinued(t *testing.T) {
	good, lim := string(readFile(t, "good.nc")), goodLimits()
	p, _ := Read("good.nc", []byte(good))
	want := Measure(p, Timing{}, lim.Brush).Strokes
	lim.Loose, lim.Strokes = true, -1
	same := func(a, b Stroke) bool {
		return a.From == b.From && a.To == b.To && a.Length == b.Length && a.Deepest == b.Deepest && a.Box == b.Box
	}
	broken := 0
	for line := 1; line <= strings.Count(good, "\n"); line++ {
		p, _ := Read("continued.nc", []byte(continued(good, line)))
		got := Measure(p, Timing{}, lim.Brush).Strokes
		if !Passed(Check(p, lim)) {
			broken++
		} else if n := len(want) - len(got); n < 0 || !slices.EqualFunc(got, want[n:], same) {
			t.Errorf("continued from line %d: %d strokes, %+v", line, len(got), got)
		}
	}
	if broken < 12 {
		t.Errorf("only %d lines from which nothing can be continued", broken)
	}
	for i, s := range want {
		p, _ := Read("continued.nc", []byte(continued(good, s.StartLine)))
		got := Measure(p, Timing{}, lim.Brush).Strokes
		if names := failed(Check(p, lim)); len(names) > 0 || !slices.EqualFunc(got, want[i:], same) {
			t.Errorf("continued from line %d for stroke %d: %v, %+v", s.StartLine, s.Number, names, got)
		}
	}
}

// A stroke whose motion, position or feed is set before the last lift or pause
// has no line from which to continue.
func TestNoStartLine(t *testing.T) {
	for name, text := range map[string]string{
		"no feed":     "G0 Z5\nF300\nG0 X1 Y1\nG1 Z-1\nX2\nG0 Z5\nM2",
		"no motion":   "G0 Z5\nX1 Y1\nG1 Z-1 F300\nX2\nG0 Z5\nM2",
		"no position": "G0 Z5\nG0 X1\nG1 Z-1 F300\nX2\nG0 Z5\nM2",
		"a pause":     "G0 Z5\nG0 X1 Y1\nM0\nG1 Z-1 F300\nX2\nG0 Z5\nM2",
	} {
		p, _ := Read(name, []byte("G21 G17 G90 G94\n"+text))
		if s := Measure(p, Timing{}, nil).Strokes; len(s) != 1 || s[0].StartLine != 0 {
			t.Errorf("%s: %+v", name, s)
		}
	}
}

// A move straight up or down may be as fast as Z can move, however slow the
// machine goes across.
func TestFeedOfZ(t *testing.T) {
	lim := goodLimits()
	lim.ZFeed = 1500
	p, _ := Read("good.nc", []byte(strings.Replace(string(readFile(t, "good.nc")), "G1 Z0.5 F300", "G1 Z0.5 F1200", 1)))
	if names := failed(Check(p, lim)); len(names) > 0 {
		t.Error(names)
	}
}
