package notebooks_test

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/recipe/problem"
	"mahlstick/runner"
)

// Every recipe of the studio, laid out anew, runs without an error, a warning
// or a hint, and its programs pass their proof.
func TestEveryRecipeRuns(t *testing.T) {
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	recipes := recipesOf(t)
	if len(recipes) < 9 {
		t.Errorf("only %d recipes: %v", len(recipes), recipes)
	}
	for _, name := range recipes {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			runs(t, filepath.Join(studio, name))
		})
	}
}

// runs runs a recipe, and wants no remark, no broken rule and a whole picture.
func runs(t *testing.T, recipe string) {
	t.Helper()
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(problems) > 0 {
		var b strings.Builder
		if err := problem.Print(&b, problems); err != nil {
			t.Fatal(err)
		}
		t.Error(b.String())
	}
	if r == nil {
		t.Fatal("there is no result")
	}
	for _, c := range r.Checks {
		if !c.OK {
			t.Errorf("%s: %s: found %s, allowed %s", c.Program, c.Name, c.Found, c.Allowed)
		}
	}
	for _, l := range r.Layers {
		if l.Trial != nil { // nothing was drawn
			continue
		}
		if l.Measures.Painted == 0 || l.Cover.Coverage < 0.99 || l.Cover.Excess > 0.02 {
			t.Errorf("layer %s: %.1f mm painted, covers %.4f, spills %.4f", l.Model.Name, l.Measures.Painted, l.Cover.Coverage, l.Cover.Excess)
		}
	}
}

// recipesOf lists the notebooks that have layers or trials to paint.
func recipesOf(t *testing.T) []string {
	var out []string
	err := fs.WalkDir(notebooks.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(notebooks.Files, name)
		if strings.Contains(string(data), "\n## Layers\n") || strings.Contains(string(data), "\n## Trials\n") {
			out = append(out, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
