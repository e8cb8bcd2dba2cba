package runner_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/record"
)

var blockHeading = regexp.MustCompile(`<h2 class="data">([^<]+)</h2>`)

// Each section of a recipe stands on the page once, with its words, its rows
// and, for a brush, its chart, whether it is named or not.
func TestSectionsStandOnThePageOnce(t *testing.T) {
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	recipe := filepath.Join(studio, "guide", "02-measured-brush.md")
	data, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	for _, named := range []bool{true, false} {
		want := []string{"Sheet", "Brush: class round", "Swatch: class round", "Layers", "Machine: bench router"}
		if !named {
			want = []string{"Sheet", "Brush", "Swatch: Brush", "Layers", "Machine: bench router"}
			data = []byte(strings.NewReplacer(": class round\n", "\n", "| class round |", "| brush       |", "class_round", "brush").Replace(string(data)))
			if err := os.WriteFile(recipe, data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		r, problems, err := runner.Run(recipe, runner.Options{})
		if err != nil || len(problems) > 0 {
			t.Fatal(problems, err)
		}
		i := slices.IndexFunc(r.Outputs, func(o record.Output) bool { return o.Name == "index.html" })
		page := string(r.Outputs[i].Data)
		from, to := strings.Index(page, `<section id="recipe"`), strings.Index(page, `<section id="layers"`)
		var got []string
		for _, m := range blockHeading.FindAllStringSubmatch(page[from:to], -1) {
			got = append(got, m[1])
		}
		if !slices.Equal(got, want) {
			t.Errorf("sections %q, want %q", got, want)
		}
		if n := strings.Count(page[from:to], "<th scope=\"row\">widest mark</th>"); n != 1 {
			t.Errorf("the widest mark stands there %d times", n)
		}
		if n := strings.Count(page[from:to], "<figure>"); n != 1 {
			t.Errorf("%d charts", n)
		}
		if rows := strings.Index(page, `<th scope="row">safe press</th>`); rows < from || strings.Index(page, "Three rows are new") < rows {
			t.Error("what is written below a table does not stand behind its rows")
		}
	}
}
