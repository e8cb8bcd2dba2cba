package runner_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/stage"
)

// Random jobs whose brushes say what they hold: from pause to pause no program
// paints more, counted from its text alone; all that is drawn is still painted or
// refused.
func TestInkLasts(t *testing.T) {
	pauses, divided := 0, 0
	for number := 1; number <= 6; number++ {
		for _, c := range []struct {
			kind, holds string
			area        bool
			load        float64
		}{{"as drawn", "90 mm", false, 90}, {"concealed", "220 mm²", true, 220}, {"longer", "120 mm²", true, 120}} {
			recipe := scribbled(t, number, c.kind, 0, 0)
			rowBefore(t, filepath.Dir(filepath.Dir(recipe)), "| caliper |", "| holds | "+c.holds+" |")
			r, problems, err := runner.Run(recipe, runner.Options{})
			if err != nil || r == nil {
				t.Logf("job %d, %s: %v %v", number, c.kind, err, problems)
				continue
			}
			for _, k := range r.Checks {
				if !k.OK {
					t.Errorf("job %d, %s, %s: %s: found %s, allowed %s", number, c.kind, k.Program, k.Name, k.Found, k.Allowed)
				}
			}
			for _, l := range r.Layers {
				what := fmt.Sprintf("job %d, %s, %s", number, c.kind, l.File)
				if off := l.Plan.Drawn - l.Painted - l.Refused; math.Abs(off) > 1e-6 {
					t.Errorf("%s: %g mm² are neither painted nor refused", what, off)
				}
				pauses += checkLoads(t, what, l, c.load, c.area)
				divided += len(l.Ink.Divided)
			}
		}
	}
	t.Logf("%d pauses to load a brush, %d strokes divided", pauses, divided)
	if pauses < 20 || divided < 3 {
		t.Error("too few to show anything")
	}
}

// rowBefore adds a row to the notebooks of a studio that have another, before it.
func rowBefore(t *testing.T, dir, other, row string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".md" {
			return err
		}
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		return os.WriteFile(name, []byte(strings.Replace(string(text), other, row+"\n"+other, 1)), 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// checkLoads counts what a program paints between its pauses. It is how many of
// them there are before the last stroke.
func checkLoads(t *testing.T, what string, l stage.Proven, load float64, area bool) int {
	t.Helper()
	sections := bytes.Split(l.Program, []byte("\nM0\n"))
	for i, section := range sections {
		painted := 0.0
		for _, c := range widths(t, l, section) {
			if !area {
				painted += c.length()
				continue
			}
			for k := 1; k < len(c); k++ {
				painted += c[k-1].distance(c[k].place) * (c[k-1].r + c[k].r)
			}
			painted += math.Pi / 2 * (c[0].r*c[0].r + c[len(c)-1].r*c[len(c)-1].r)
		}
		if painted > load && !l.Model.Brush.Lag.Known() { // then the way is not that of the mark
			t.Errorf("%s: %.1f painted with load %d of %g", what, painted, i+1, load)
		}
	}
	if n := len(sections) - 2; n != len(l.Ink.Reloads()) {
		t.Errorf("%s: %d pauses, %d reloads", what, n, len(l.Ink.Reloads()))
	}
	return len(l.Ink.Reloads())
}
