package runner_test

import (
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
)

// A brush whose mark widens by a millimetre within a few hundredths of press is
// read back as it is: no rule is broken, and no spill is found that is not there.
func TestSteepSwatch(t *testing.T) {
	studio, recipe := pond(t)
	swatch := strings.NewReplacer("| 0.5 mm | 0.48 mm |", "| 0.494 mm | 0.24 mm |\n| 0.506 mm | 1.9 mm |",
		"| 1.0 mm | 0.72 mm |", "| 1.0 mm | 1.95 mm |", "| 1.19 mm |", "| 2.0 mm |", "| 1.65 mm |", "| 2.1 mm |", "| 2.05 mm |", "| 2.2 mm |")
	rewrite(t, filepath.Join(studio, "brushes", "sable.md"), swatch.Replace)
	rewrite(t, filepath.Join(studio, "machines", "bench.md"), func(line string) string {
		return strings.Replace(line, "| safe height |", "| decimals | 4 |\n| safe height |", 1)
	})
	r := mustRun(t, recipe, runner.Options{})
	for _, c := range r.Checks {
		if !c.OK {
			t.Errorf("%s: %s: %s", c.Program, c.Name, c.Found)
		}
	}
	for _, l := range r.Layers {
		if l.Cover.Excess > 0.03 || l.Cover.Coverage < 0.97 {
			t.Errorf("%s covers %.4f, %.4f is outside the drawing", l.Model.Name, l.Cover.Coverage, l.Cover.Excess)
		}
	}
}
