package runner_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/proving"
)

// A brush whose mark trails paints what was drawn: the reader tows the mark
// behind the axis with the text of the programs alone. The programs of a brush
// without lag, painted with one that trails, show what it would be otherwise.
func TestLag(t *testing.T) {
	for _, c := range []struct{ name, row, column string }{
		{"even", "| lag         | 1.5 mm         |\n", ""},
		{"by press", "", " 0.%d mm |"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, recipe := pond(t)
			plain := mustRun(t, recipe, runner.Options{})
			notebook := filepath.Join(filepath.Dir(filepath.Dir(recipe)), "brushes", "sable.md")
			text, err := os.ReadFile(notebook)
			if err != nil {
				t.Fatal(err)
			}
			var out strings.Builder
			n := 0
			for line := range strings.Lines(string(text)) {
				line = strings.TrimSuffix(line, "\n")
				switch {
				case c.row != "" && strings.HasPrefix(line, "| caliper"):
					line = c.row + line
				case c.column != "" && strings.HasPrefix(line, "| press "):
					line += " lag |"
				case c.column != "" && strings.HasPrefix(line, "|--------|---------|"):
					line += "---|"
				case c.column != "" && strings.Count(line, " mm ") == 2 && !strings.Contains(line, "±"):
					n++
					line += fmt.Sprintf(c.column, 3*n)
				}
				out.WriteString(line + "\n")
			}
			if err := os.WriteFile(notebook, []byte(out.String()), 0o644); err != nil {
				t.Fatal(err)
			}
			led := mustRun(t, recipe, runner.Options{})
			told := aheadOnPage(t, led)
			for i, l := range led.Layers {
				most := 0.0
				for press := 0.0; press < -l.Measures.Lowest; press += 0.005 { // the lag may fall again
					most = max(most, l.Model.Brush.Lag.At(press))
				}
				if len(told) != len(led.Layers) || math.Abs(told[i]-most) > 0.02 {
					t.Errorf("%s: the page tells %v mm ahead, the program goes %.3f mm", l.Model.Name, told, most)
				}
			}
			if led.Failed() {
				t.Error("a check fails")
			}
			for i, l := range led.Layers {
				if !l.Model.Brush.Lag.Known() {
					t.Fatal("the brush does not trail")
				}
				before := plain.Layers[i]
				before.Model.Brush.Lag = l.Model.Brush.Lag
				bare, err := proving.Compare(before.Path, before.Moved, &plain.Job.Sheet, 0.02)
				if err != nil {
					t.Fatal(err)
				}
				now, err := proving.Compare(l.Path, l.Moved, &led.Job.Sheet, 0.02)
				if err != nil {
					t.Fatal(err)
				}
				t.Logf("%s: covers %.3f %%, spills %.3f %%; not led %.2f and %.2f %%", l.Model.Name, 100*now.Coverage, 100*now.Excess, 100*bare.Coverage, 100*bare.Excess)
				if now.Coverage < 0.9995 || now.Excess > 0.009 {
					t.Errorf("%s: covers %.3f %%, spills %.3f %%", l.Model.Name, 100*now.Coverage, 100*now.Excess)
				}
				if 1-bare.Coverage < 5*(1-now.Coverage) {
					t.Errorf("%s: without leading it covers %.3f %%", l.Model.Name, 100*bare.Coverage)
				}
				if l.Plan.Count(0) != before.Plan.Count(0) || l.Refused != before.Refused {
					t.Errorf("%s: the plan of strokes is another", l.Model.Name)
				}
			}
		})
	}
}

// aheadOnPage reads from the page how far each layer's brush is led ahead, mm.
func aheadOnPage(t *testing.T, r *runner.Result) (out []float64) {
	t.Helper()
	for _, o := range r.Outputs {
		if o.Name != "index.html" {
			continue
		}
		for _, m := range regexp.MustCompile(`holder ahead of the mark</th><td>up to ([0-9.]+) mm`).FindAllSubmatch(o.Data, -1) {
			v, err := strconv.ParseFloat(string(m[1]), 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, v)
		}
	}
	return out
}

// Near the edge of the sheet there is no room to lead the brush ahead.
func TestLagNeedsRoom(t *testing.T) {
	_, recipe := pond(t)
	notebook := filepath.Join(filepath.Dir(filepath.Dir(recipe)), "brushes", "sable.md")
	text, err := os.ReadFile(notebook)
	if err != nil {
		t.Fatal(err)
	}
	text = []byte(strings.Replace(string(text), "| caliper", "| lag | 80 mm |\n| caliper", 1))
	if err := os.WriteFile(notebook, text, 0o644); err != nil {
		t.Fatal(err)
	}
	_, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		if p.Code == "off-sheet" && strings.Contains(p.Message, "led up to 80 mm ahead") {
			return
		}
	}
	t.Errorf("the brush is led off the sheet in silence: %v", problems)
}
