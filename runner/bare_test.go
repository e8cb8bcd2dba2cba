package runner_test

import (
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// A layer of which more than a hundredth stays bare has a warning with share
// and place; the recipe can allow it or refuse it.
func TestBarePaper(t *testing.T) {
	const (
		some   = `<path d="M20 20h50" fill="none" stroke="black" stroke-width="3.99" stroke-linecap="round"/>`
		little = `<path d="M20 20h100M20 40h0.4" fill="none" stroke="black" stroke-width="2" stroke-linecap="round"/>` +
			`<path d="M20 60h0.4" fill="none" stroke="black" stroke-width="3.99" stroke-linecap="round"/>`
	)
	for _, c := range []struct {
		name, drawn, bare string
		severity          problem.Severity
		found             bool
	}{
		{"some of it", some, "", problem.Warning, true},
		{"some of it, allowed", some, "allow", 0, false},
		{"some of it, refused", some, "refuse", problem.Error, true},
		{"less than a hundredth", little, "", 0, false},
		{"less than a hundredth, refused", little, "refuse", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, problems := runBare(t, c.drawn, c.bare)
			if refused := c.severity == problem.Error && c.found; (r == nil) != refused {
				t.Fatalf("result %v: %v", r, problems)
			}
			if r != nil && (r.Layers[0].Refused == 0 || r.Failed()) {
				t.Fatalf("%g mm² refused, checks %v", r.Layers[0].Refused, r.Checks)
			}
			bare := slices.DeleteFunc(problems, func(p problem.Problem) bool { return p.Code != problem.BarePaper })
			if (len(bare) > 0) != c.found {
				t.Fatalf("got %v", bare)
			}
			if c.found {
				checkBare(t, bare[0], c.severity, c.bare)
			}
		})
	}
}

// runBare runs a recipe of one layer with the word in its column bare.
func runBare(t *testing.T, drawn, word string) (*runner.Result, problem.List) {
	studio, _ := pond(t)
	recipe := oneLayer(t, studio, "lines", "leave", drawn)
	rewrite(t, recipe, func(line string) string {
		switch {
		case strings.HasSuffix(line, "| hairlines |"):
			return line + " bare |"
		case strings.HasSuffix(line, "|-----------|"):
			return line + "------|"
		case strings.HasSuffix(line, "| leave |"):
			return line + " " + word + " |"
		}
		return line
	})
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r, problems
}

// checkBare checks the message about a line of 50 x 3.99 mm that a mark of 3.887 mm,
// a brush of 4 mm less its reserve, paints. J. Steiner's formula for the area
// around a curve, L·w + π(w/2)²:
// 212.0 mm² are drawn, and 206.2 mm² painted. Of the 5.8 mm² between, along the
// edges, the proof finds 5.4 in its pixels of 0.05 mm.
func checkBare(t *testing.T, p problem.Problem, severity problem.Severity, word string) {
	for _, part := range []string{"2.57 %", "5.44 mm² of 212 mm²", "held back", "Y 85.00 mm"} {
		if !strings.Contains(p.Message, part) {
			t.Errorf("%q lacks %q", p.Message, part)
		}
	}
	if p.Severity != severity || strings.Contains(p.Fix.Advice, "allow") != (word == "") || len(p.Related) == 0 {
		t.Errorf("%v: %q, %v", p.Severity, p.Fix.Advice, p.Related)
	}
}
