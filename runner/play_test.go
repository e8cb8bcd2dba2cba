package runner_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/stage"
)

// withPlay states a play for all brushes of a recipe's folder.
func withPlay(t *testing.T, recipe string, play float64) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(filepath.Dir(recipe), "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(data), "| caliper |", fmt.Sprintf("| play | %g mm |\n| caliper |", play), 1)
		if err := os.WriteFile(f, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return recipe
}

// Random jobs for brushes with play keep all rules and paint what was drawn; the
// programs for brushes without play would spill much more with such a brush.
func TestPlayInRandomJobs(t *testing.T) {
	const play = 0.15
	var spilt, before, drawn float64
	for n := 1; n <= 2; n++ {
		for _, c := range []struct {
			kind  string
			limit float64
		}{{"as drawn", 0}, {"concealed", 0.8}} {
			plain := mustRun(t, scribbled(t, n, c.kind, c.limit, 0.6), runner.Options{})
			played := mustRun(t, withPlay(t, scribbled(t, n, c.kind, c.limit, 0.6), play), runner.Options{})
			if played.Failed() {
				t.Errorf("job %d, %s: a rule is broken", n, c.kind)
			}
			for i, l := range played.Layers {
				is, was, uncorrected := coverWith(t, l, play, &played.Job.Sheet), coverWith(t, plain.Layers[i], 0, &plain.Job.Sheet), coverWith(t, plain.Layers[i], play, &plain.Job.Sheet)
				spilt, before, drawn = spilt+is.Spill, before+uncorrected.Spill, drawn+is.Drawn
				if is.Coverage < was.Coverage-0.005 || is.Excess > was.Excess+0.02 {
					t.Errorf("job %d, %s, %s: covers %.4f, spills %.4f; without play %.4f and %.4f", n, c.kind, l.Model.Name, is.Coverage, is.Excess, was.Coverage, was.Excess)
				}
			}
		}
	}
	t.Logf("spilt %.2f %%, %.2f %% if play were left", 100*spilt/drawn, 100*before/drawn)
	if spilt > 0.4*before {
		t.Errorf("spilt %.1f mm², %.1f mm² if play were left", spilt, before)
	}
}

// coverWith compares a layer's program, painted by a brush with some play.
func coverWith(t *testing.T, l stage.Proven, play float64, sheet *model.Sheet) proof.Cover {
	t.Helper()
	layer, mounted := *l.Model, *l.Model.Brush
	mounted.Play, layer.Brush = play, &mounted
	moved := l.Moved
	moved.Model = &layer
	path, _ := proof.Read("", l.Program)
	c, err := proving.Compare(path, moved, sheet, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
