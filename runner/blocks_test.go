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

var blockHeading = regexp.MustCompile(`<h2 class="data"[^>]*>([^<]+)</h2>`)

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
		if n := strings.Count(page[from:to], "<th scope=\"row\">widest\u00a0mark</th>"); n != 1 {
			t.Errorf("the widest mark stands there %d times", n)
		}
		if n := strings.Count(page[from:to], "<figure>"); n != 1 {
			t.Errorf("%d charts", n)
		}
		if rows := strings.Index(page, "<th scope=\"row\">safe\u00a0press</th>"); rows < from || strings.Index(page, "Three rows are new") < rows {
			t.Error("what is written below a table does not stand behind its rows")
		}
	}
}

var (
	needLine = regexp.MustCompile(`<p class="small">uses (.*?)(?: · used by .*)?</p>`)
	idOf     = regexp.MustCompile(` id="([^"]+)"`)
	linkedTo = regexp.MustCompile(`<a href="#([^"]+)">`)
)

// What a number is worked out from is a link: to another working, to a row of a
// table, stated or not, to a cell, to a brush.
func TestWorkingsLinkToWhatTheyNeed(t *testing.T) {
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"heron/heron.md", "guide/03-formulas.md", "guide/04-uncertainty.md", "guide/06-shared-notebooks.md"} {
		r, problems, err := runner.Run(filepath.Join(studio, name), runner.Options{})
		if err != nil || problems.HasErrors() {
			t.Fatal(problems, err)
		}
		i := slices.IndexFunc(r.Outputs, func(o record.Output) bool { return o.Name == "index.html" })
		page := string(r.Outputs[i].Data)
		ids := map[string]bool{}
		for _, m := range idOf.FindAllStringSubmatch(page, -1) {
			if ids[m[1]] {
				t.Errorf("%s: two elements are called %s", name, m[1])
			}
			ids[m[1]] = true
		}
		rows := 0
		for _, m := range needLine.FindAllStringSubmatch(page, -1) {
			for need := range strings.SplitSeq(m[1], ", ") {
				link := linkedTo.FindStringSubmatch(need)
				if link == nil || !ids[link[1]] {
					t.Errorf("%s: %s leads nowhere", name, need)
				} else if strings.HasPrefix(link[1], "r-") {
					rows++
				}
			}
		}
		if rows < 5 {
			t.Errorf("%s: only %d rows are linked", name, rows)
		}
	}
}
