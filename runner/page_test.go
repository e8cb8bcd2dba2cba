package runner_test

import (
	"strings"
	"testing"

	"mahlstick/recipe/format"
	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// The page prints the times and lengths of the programs as their text is read
// back, not as they were planned.
func TestPagePrintsWhatWasReadBack(t *testing.T) {
	_, recipe := pond(t)
	r := mustRun(t, recipe, runner.Options{})
	page, m := output(r, "index.html"), r.Job.Machine
	for _, l := range r.Layers {
		path, _ := proof.Read(l.File, []byte(output(r, l.File)))
		read := proof.Measure(path, proof.Timing{Travel: m.TravelFeed, ZFeed: m.ZFeed, Acceleration: m.Acceleration, Corner: 0.05}, nil)
		time, length := format.Page.Duration(read.Seconds), format.Page.Length(read.Painted)
		for _, text := range []string{">" + time + ", without pauses<", ">" + length + " (the length of the marks), "} {
			if !strings.Contains(page, text) {
				t.Errorf("%s: the page lacks %q", l.File, text)
			}
		}
	}
}
