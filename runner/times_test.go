package runner_test

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// machineRows adds rows to the machine of the pond's studio.
func machineRows(t *testing.T, studio string, rows ...string) {
	t.Helper()
	rewrite(t, filepath.Join(studio, "machines", "bench.md"), func(line string) string {
		return strings.Replace(line, "| safe height ", strings.Join(rows, "\n")+"\n| safe height ", 1)
	})
}

// Where the machine states how its axes move, the time is that of the axes, the
// program says so in its head, and its reader comes to the same; the moves do not
// change. The page lists where the machine lingers.
func TestTimeByAxis(t *testing.T) {
	studio, recipe := pond(t)
	before := mustRun(t, recipe, runner.Options{})
	machineRows(t, studio, "| x acceleration | 60 mm/s² |", "| y acceleration | 40 mm/s² |", "| corner cut | 0 mm |")
	after := mustRun(t, recipe, runner.Options{})
	blots := 0
	for i, l := range after.Layers {
		was := before.Layers[i]
		if l.Figures.Seconds <= was.Figures.Seconds {
			t.Errorf("%s takes %g s, and %g s with quicker axes", l.File, l.Figures.Seconds, was.Figures.Seconds)
		}
		if len(was.Blots) > 0 {
			t.Errorf("%s lingers by axes that are not stated", was.File)
		}
		blots += len(l.Blots)
		text := output(after, l.File)
		if !strings.Contains(text, "corner 0)\n(timed by axis x 3000 60)\n(timed by axis y 3000 40)\n") {
			t.Errorf("%s does not say with what it was timed", l.File)
		}
		path, _ := proof.Read(l.File, []byte(text))
		if read := proof.Measure(path, path.StatedTiming(), nil).Seconds; math.Abs(read-l.Figures.Seconds) > 0.001 {
			t.Errorf("%s takes %g s as read and %g s as written", l.File, read, l.Figures.Seconds)
		}
		m := l.Measures
		if sum := m.Contact + m.Across + m.Upright + m.Waiting; math.Abs(sum-m.Seconds) > 1e-6 || m.Contact <= 0 || m.Across <= 0 || m.Upright <= 0 {
			t.Errorf("%s: %g s of painting, %g of travel, %g of lowering and %g of waiting make %g", l.File, m.Contact, m.Across, m.Upright, m.Waiting, m.Seconds)
		}
		moves := func(text string) string { _, moves, _ := strings.Cut(text, "\nG21"); return moves }
		if moves(text) != moves(output(before, l.File)) {
			t.Errorf("%s moves otherwise", l.File)
		}
		for k, b := range l.Blots {
			if b.Seconds < 0.1 || b.Slowest > l.Model.Feed/2 || b.Stroke < 1 || k > 0 && b.Seconds > l.Blots[k-1].Seconds {
				t.Errorf("%s: %+v", l.File, b)
			}
		}
	}
	if blots == 0 || !strings.Contains(output(after, "index.html"), "<summary>lingers: ") {
		t.Errorf("%d places where the machine lingers", blots)
	}
}

// With a controller that reads few blocks a second, no program asks for more, and
// what is painted is still what was drawn.
func TestFewBlocksASecond(t *testing.T) {
	studio, recipe := pond(t)
	before := mustRun(t, recipe, runner.Options{})
	machineRows(t, studio, "| blocks a second | 12 |")
	r := mustRun(t, recipe, runner.Options{})
	merged := 0
	for _, c := range r.Checks {
		if !c.OK {
			t.Errorf("%s: %s: %s", c.Program, c.Name, c.Found)
		}
	}
	for i, l := range r.Layers {
		merged += l.Motion.Blocks.Merged + l.Motion.Blocks.Slowed
		if was := before.Layers[i]; l.Cover.Coverage < was.Cover.Coverage-0.003 || l.Cover.Excess > was.Cover.Excess+0.003 {
			t.Errorf("%s covers %.4f and spills %.4f, and %.4f and %.4f before", l.File, l.Cover.Coverage, l.Cover.Excess, was.Cover.Coverage, was.Cover.Excess)
		}
	}
	if merged == 0 || !strings.Contains(output(r, "index.html"), "at most 12: ") {
		t.Errorf("%d moves merged or slowed", merged)
	}
}
