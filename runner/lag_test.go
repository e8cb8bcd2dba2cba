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

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// A brush whose mark trails paints what was drawn: the reader tows the mark
// behind the axis with the text of the programs alone. The programs of a brush
// without lag, painted with one that trails, show what it would be otherwise.
func TestLag(t *testing.T) {
	for _, c := range []trailing{{"even", "| lag         | 1.5 mm         |", ""}, {"by press", "", " 0.%d mm |"}} {
		t.Run(c.name, func(t *testing.T) {
			_, recipe := pond(t)
			plain := mustRun(t, recipe, runner.Options{})
			c.write(t, filepath.Join(filepath.Dir(filepath.Dir(recipe)), "brushes", "sable.md"))
			led := mustRun(t, recipe, runner.Options{})
			if led.Failed() {
				t.Error("a check fails")
			}
			onPage := aheadOnPage(t, led)
			if len(onPage) != len(led.Layers) {
				t.Fatalf("the page has %v mm ahead for %d layers", onPage, len(led.Layers))
			}
			for i, l := range led.Layers {
				checkAhead(t, l, onPage[i])
				checkLed(t, l, plain.Layers[i], &led.Job.Sheet)
			}
		})
	}
}

// trailing is how a brush notebook says that the mark trails: by a row, or by a
// column of the swatch, a tenth of the format's digit more a row.
type trailing struct{ name, row, column string }

func (c trailing) write(t *testing.T, notebook string) {
	n := 0
	rewrite(t, notebook, func(line string) string {
		switch {
		case c.row != "" && strings.HasPrefix(line, "| caliper"):
			return c.row + "\n" + line
		case c.column != "" && strings.HasPrefix(line, "| press "):
			return line + " lag |"
		case c.column != "" && strings.HasPrefix(line, "|--------|---------|"):
			return line + "---|"
		case c.column != "" && strings.Count(line, " mm ") == 2 && !strings.Contains(line, "±"):
			n++
			return line + fmt.Sprintf(c.column, 3*n)
		}
		return line
	})
}

// checkAhead compares how far the brush is led ahead on the page with the most
// that the pressures of the program need.
func checkAhead(t *testing.T, l stage.Proven, onPage float64) {
	most := 0.0
	for press := 0.0; press < -l.Measures.Lowest; press += 0.005 { // the lag may fall again
		most = max(most, l.Model.Brush.Lag.At(press))
	}
	if math.Abs(onPage-most) > 0.02 {
		t.Errorf("%s: the page has %g mm ahead, the program goes %.3f mm", l.Model.Name, onPage, most)
	}
}

// pathOf reads a layer's program.
func pathOf(l stage.Proven) *proof.Path {
	path, _ := proof.Read(l.File, l.Program)
	return path
}

// checkLed compares a layer whose brush is led ahead with the same layer
// without, when both are painted with the brush that trails.
func checkLed(t *testing.T, l, plain stage.Proven, sheet *model.Sheet) {
	if !l.Model.Brush.Lag.Known() {
		t.Fatal("the brush does not trail")
	}
	if l.Plan.Count(stroke.Main) != plain.Plan.Count(stroke.Main) || l.Refused != plain.Refused {
		t.Errorf("%s: the plan of strokes is another", l.Model.Name)
	}
	plain.Model.Brush.Lag = l.Model.Brush.Lag
	without, err := proving.Compare(pathOf(plain), plain.Moved, sheet, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	with, err := proving.Compare(pathOf(l), l.Moved, sheet, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: covers %.3f %%, spills %.3f %%; not led %.2f and %.2f %%", l.Model.Name, 100*with.Coverage, 100*with.Excess, 100*without.Coverage, 100*without.Excess)
	if with.Coverage < 0.9995 || with.Excess > 0.009 {
		t.Errorf("%s: covers %.3f %%, spills %.3f %%", l.Model.Name, 100*with.Coverage, 100*with.Excess)
	}
	if 1-without.Coverage < 5*(1-with.Coverage) {
		t.Errorf("%s: without leading it covers %.3f %%", l.Model.Name, 100*without.Coverage)
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
