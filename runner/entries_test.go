package runner_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/scribble"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// scribbled writes a random job and returns its recipe. All its layers have the
// given entries, all its brushes the given limit of the press, and a lag if they
// state none.
func scribbled(t *testing.T, number int, kind string, limit, lag float64) string {
	t.Helper()
	dir := quickDir(t)
	entry := regexp.MustCompile(`(?m)^(\|(?:[^|\n]*\|){13})[^|\n]*\|`)
	for _, f := range append(scribble.Job(number), scribble.Studio()) {
		text := string(f.Data)
		switch {
		case strings.Contains(text, "\n## Layers"):
			head, layers, _ := strings.Cut(text, "\n## Layers\n\n")
			layers = entry.ReplaceAllString(layers, "$1 "+kind+" |")
			layers = strings.Replace(layers, " "+kind+" |", " entries |", 1)
			layers = strings.Replace(layers, "|---|---|---|---|---|---|---|---|---|---|---|---|---| "+kind+" |", strings.Repeat("|---", 14)+"|", 1)
			text = head + "\n## Layers\n\n" + layers
		case strings.Contains(text, "## Brush:"):
			rows := ""
			if lag > 0 && !strings.Contains(text, "lag") {
				rows += fmt.Sprintf("| lag | %g mm |\n", lag)
			}
			if limit > 0 {
				rows += fmt.Sprintf("| steepest press | %g mm/mm |\n", limit)
			}
			text = strings.Replace(text, "| caliper |", rows+"| caliper |", 1)
		}
		full := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o755), os.WriteFile(full, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, scribble.Name(number), scribble.Name(number)+".md")
}

// Concealed entries and exits change nothing of what is painted: the marks,
// drawn again from the text of the programs, cover as much and spill as much,
// and no stroke of which none is listed is pressed straight down. A limit of
// the press is kept, and costs no area where there is room.
func TestConcealedEntries(t *testing.T) {
	for _, lag := range []float64{0, 1.2} {
		for n := 1; n <= 6; n++ {
			t.Run(fmt.Sprintf("%d, lag %g", n, lag), func(t *testing.T) {
				plain := mustRun(t, scribbled(t, n, "as drawn", 0, lag), runner.Options{})
				for _, limit := range []float64{0, 0.8} {
					hidden := mustRun(t, scribbled(t, n, "concealed", limit, lag), runner.Options{})
					if hidden.Failed() {
						t.Error("a check fails")
					}
					for i, l := range hidden.Layers {
						checkConcealed(t, l, plain.Layers[i], limit, hidden)
					}
				}
			})
		}
	}
}

func checkConcealed(t *testing.T, l, plain stage.Proven, limit float64, r *runner.Result) {
	cover := func(l stage.Proven) proof.Cover {
		again, _ := proof.Read("", l.Program)
		c, err := proving.Compare(again, l.Moved, &r.Job.Sheet, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	was, is := cover(plain), cover(l)
	bare := 0.0
	listed := 0
	for _, m := range l.Remarks {
		switch m.Reason {
		case stroke.TooSteep:
			bare += m.Area
		case stroke.Unconcealed:
			listed++
		}
	}
	e := l.Motion.Entries
	t.Logf("%s: covers %.4f %%, spills %.4f %%, as drawn %.4f and %.4f; %+v, %d of %d plunge, steepest %.2f, %.3f mm² too steep", l.Model.Name,
		100*is.Coverage, 100*is.Excess, 100*was.Coverage, 100*was.Excess, e, l.Figures.Plunges, plain.Figures.Plunges, l.Figures.Steepest, bare)
	slack := 0.00001
	if l.Model.Brush.Lag.Known() { // the mark is pulled along the chords of swings
		slack = 0.0005
	}
	if is.Coverage < was.Coverage-slack-bare/l.Plan.Drawn || is.Excess > was.Excess+slack {
		t.Errorf("%s: covers %.4f %%, spills %.4f %%; as drawn %.4f and %.4f", l.Model.Name, 100*is.Coverage, 100*is.Excess, 100*was.Coverage, 100*was.Excess)
	}
	if l.Figures.Plunges > e.Straight || listed != e.Straight || e.Straight > 0 && limit > 0 {
		t.Errorf("%s: %d strokes are pressed straight down, %d are listed of %d", l.Model.Name, l.Figures.Plunges, listed, e.Straight)
	}
	if limit > 0 {
		keepsLimit(t, l, limit)
	}
}

// keepsLimit follows the program from one coordinate to the next, and compares
// each press with all before it in the same stroke.
func keepsLimit(t *testing.T, l stage.Proven, limit float64) {
	path, _ := proof.Read("", l.Program)
	type stop struct{ way, press float64 }
	var stops []stop
	for _, m := range path.Moves {
		if m.To.Z > 0 {
			stops = nil
			continue
		}
		if len(stops) == 0 {
			stops = []stop{{}}
		}
		last := stops[len(stops)-1]
		now := stop{last.way + math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y), -m.To.Z}
		if m.From.Z > 0 {
			now.way = 0
		}
		for _, s := range stops {
			if now.press-s.press > limit*(now.way-s.way)+0.0025 {
				t.Fatalf("%s, line %d: %.4f mm deeper on %.4f mm", l.Model.Name, m.Line, now.press-s.press, now.way-s.way)
			}
		}
		stops = append(stops, now)
	}
}
