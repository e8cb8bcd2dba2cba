package runner_test

import (
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// The rehearsals of random jobs, read from their text alone: none is lower than the
// stated height, each goes down to it, never pauses once it has begun, and goes as
// often across as the layer's program.
func TestAirRun(t *testing.T) {
	z := regexp.MustCompile(`\bZ(-?[0-9.]+)`)
	runs := 0
	for number := 1; number <= 4; number++ {
		recipe := scribbled(t, number, []string{"concealed", "longer"}[number%2], 0, 0)
		rowBefore(t, filepath.Dir(filepath.Dir(recipe)), "| reach x |", "| air run | 1.25 mm |\n| blocks a second | 20 |")
		r := mustRun(t, recipe, runner.Options{})
		if r.Failed() {
			t.Errorf("job %d: a check fails", number)
		}
		noBlocksInAir(t, r)
		for _, o := range r.Outputs {
			if !strings.HasSuffix(o.Name, "-air.nc") {
				continue
			}
			runs++
			lowest := math.Inf(1)
			text := comment.ReplaceAllString(string(o.Data), "")
			for _, m := range z.FindAllStringSubmatch(text, -1) {
				v, err := strconv.ParseFloat(m[1], 64)
				if err != nil {
					t.Fatal(err)
				}
				lowest = min(lowest, v)
			}
			if math.Abs(lowest-1.25) > 0.0011 || lowest < 1.25 || strings.Count(text, "M0") != 1 {
				t.Errorf("job %d, %s: lowest Z %g, %d pauses", number, o.Name, lowest, strings.Count(text, "M0"))
			}
		}
	}
	if runs < 4 {
		t.Errorf("%d rehearsals", runs)
	}
}

// noBlocksInAir checks that no rehearsal is held to the rule of blocks, which is for
// marks.
func noBlocksInAir(t *testing.T, r *runner.Result) {
	t.Helper()
	for _, c := range r.Checks {
		if strings.HasSuffix(c.Program, "-air.nc") && c.Name == proof.BlockRate {
			t.Errorf("the rule of blocks is listed for %s", c.Program)
		}
	}
}
