package proof

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// readLimits reads the limits of a program from NAME.limits.json beside it.
func readLimits(t testing.TB, name string) Limits {
	t.Helper()
	var in struct {
		Limits Limits
		Rungs  []Rung
		Smooth bool
	}
	in.Limits.SteepestPress = math.Inf(1) // JSON has no such number
	if err := json.Unmarshal(readFile(t, name+".limits.json"), &in); err != nil {
		t.Fatal(err)
	}
	brush, err := NewBrush(in.Rungs)
	if err != nil {
		t.Fatal(err)
	}
	if in.Smooth {
		brush = brush.Smooth()
	}
	in.Limits.Brush = brush
	return in.Limits
}

// after puts text after a line (from 1; 0: before all) of a program.
func after(text string, line int, put string) string {
	lines := strings.SplitAfter(text, "\n")
	return strings.Join(lines[:line], "") + put + "\n" + strings.Join(lines[line:], "")
}

// Faults put at the first, a middle and the last stroke of every program in
// testdata that has its limits beside it. Whoever writes programs puts one of
// them here and sees it defended.
func TestPlantedAnywhere(t *testing.T) {
	names, err := filepath.Glob("testdata/*.limits.json")
	if err != nil || len(names) == 0 {
		t.Fatal("no program with limits", err)
	}
	for _, file := range names {
		name := strings.TrimSuffix(filepath.Base(file), ".limits.json")
		good, lim := string(readFile(t, name+".nc")), readLimits(t, name)
		p, _ := Read(name, []byte(good))
		if names := failed(Check(p, lim)); len(names) > 0 {
			t.Fatalf("%s is not good: %v", name, names)
		}
		strokes := Measure(p, Timing{}, lim.Brush).Strokes
		for _, at := range []int{0, len(strokes) / 2, len(strokes) - 1} {
			s := strokes[at]
			// in: in contact; up: lifted, before the way to the stroke.
			in, up := s.FirstLine, s.FirstLine-1
			for up > 0 && !lifted(p, up, lim.SafeHeight) {
				up--
			}
			inside := fmt.Sprintf("G1 X%.4f Y%.4f", s.From.X, s.From.Y)
			for _, f := range []struct{ name, text, caught string }{
				{"too deep", after(good, in, fmt.Sprintf("G1 Z-%.4f", lim.SafePress+0.001)), SafePress},
				{"much too deep", after(good, in, "G1 Z-1000"), SafePress},
				{"dragged", after(good, in, fmt.Sprintf("G0 X%.4f", s.From.X+5)), NoDrag},
				{"travel too low", after(good, up, fmt.Sprintf("G0 Z%.4f\nG0 X%.4f Y%.4f", lim.SafeHeight-0.01, s.From.X+1, s.From.Y+1)), LiftedTrip},
				{"rammed", after(good, up, "G0 Z0.5"), SlowDown},
				{"margin", after(good, in, fmt.Sprintf("G1 X%.4f", lim.Sheet.MaxX-lim.Margin-lim.TipX+lim.Slack+0.01)), OnSheet},
				{"off the sheet", after(good, in, fmt.Sprintf("G1 Y%.4f", lim.Sheet.MinY-lim.TipY-1)), OnSheet},
				{"reach", after(good, up, fmt.Sprintf("G0 X%.4f", lim.Reach.MaxX+0.01)), WithinReach},
				{"reach above", after(good, up, fmt.Sprintf("G0 Z%.4f", lim.ReachHigh+0.01)), WithinReach},
				{"reach below", after(good, in, fmt.Sprintf("G1 Z%.4f", lim.ReachLow-0.01)), WithinReach},
				{"feed nothing", after(good, in, "F0\n"+inside), FeedSet},
				{"feed high", after(good, in, fmt.Sprintf("G1 X%.4f Y%.4f F%.4f", s.From.X+0.1, s.From.Y, lim.HighestFeed+0.01)), FeedRange},
				{"feed low", after(good, in, fmt.Sprintf("%s F%.4f", inside, lim.LowestFeed-0.01)), FeedRange},
				{"Z fast", after(good, in, fmt.Sprintf("G1 Z-0.01 F%.4f\nZ-0.02", lim.ZFeed+0.01)), ZKeepsUp},
				{"spindle", after(good, in, "M3"), NoSpindle},
				{"speed", after(good, up, "S1"), NoSpindle},
				{"spindle off", after(good, up, "M5"), NoSpindle},
				{"coolant", after(good, in, "M8"), NoCoolant},
				{"change", after(good, up, "M6"), NoChange},
				{"tool", after(good, up, "T1"), NoChange},
				{"inches", after(good, in, "G20"), Millimetres},
				{"relative", after(good, up, "G91"), Absolute},
				{"inverse time", after(good, up, "G93"), PerMinute},
				{"zero", after(good, up, "G92 X0"), FixedZero},
				{"pause", after(good, in, "M0"), NoStanding},
				{"dwell", after(good, in, "G4 P0.1"), NoStanding},
				{"unplaced", after(good, up, fmt.Sprintf("M0\nG1 Z-0.01 F%.4f", lim.LowestFeed)), PlacedDown},
				{"pause over the sheet", after(good, up, "M0"), RestPlace},
				{"cut in two", after(good, in, "G1 Z1\nG1 Z-0.01"), StrokeCount},
				{"arc", after(good, in, "G17 G2 X10 Y10 I5 J0"), ArcsClose},
				{"end", after(good, in, "M2"), CleanEnd},
				{"exponent", after(good, in, "G1 X1e-05"), Understood},
				{"twice", after(good, in, "G1 X1 X1"), Understood},
				{"open comment", after(good, in, "(stroke"), Understood},
				{"formula", after(good, in, "G1 X[1+1]"), Understood},
				{"stored place", after(good, up, "G28"), Understood},
				{"cut off", strings.Join(strings.SplitAfter(good, "\n")[:in], ""), EndsLifted},
				{"behind the end", good + "G0 Z5\n", CleanEnd},
				{"no feed at all", regexp.MustCompile(` ?F[0-9.]+`).ReplaceAllString(good, ""), FeedSet},
				{"no units", strings.Replace(good, "G21", "", 1), Millimetres},
				{"no lift first", after(good, 0, "G21 G90 G94\nG0 X0 Y0"), FirstLift},
			} {
				p, _ := Read("planted.nc", []byte(f.text))
				if names := failed(Check(p, lim)); !strings.Contains(strings.Join(names, "|"), f.caught) {
					t.Errorf("%s, stroke %d, %s: not caught by %q, only by %q", name, s.Number, f.name, f.caught, names)
				}
			}
		}
	}
}

// lifted says whether the brush stands at the safe height after a line.
func lifted(p *Path, line int, safe float64) bool {
	up := false
	for i := range p.Moves {
		if p.Moves[i].Line > line {
			break
		}
		up = p.Moves[i].To.Z >= safe
	}
	return up
}
