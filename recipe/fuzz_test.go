package recipe_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// Any recipe with any brush notebook: no panic, every place inside its file,
// the same job and the same list twice, every mend applicable or advice.
func FuzzRecipe(f *testing.F) {
	heron, err := os.ReadFile("testdata/studio/heron/heron.md")
	if err != nil {
		f.Fatal(err)
	}
	sable, err := os.ReadFile("testdata/studio/brushes/fine-sable.md")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(heron), string(sable))
	f.Add(reeds, string(sable))
	f.Add(strings.Replace(reeds, "900 mm/min", "`"+strings.Repeat("-(", 50)+"900*mm/min"+strings.Repeat(")", 50)+"`", 1), string(sable))
	names, err := filepath.Glob("testdata/wrong/*.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			f.Fatal(err)
		}
		job, brush := reeds, string(sable)
		for _, file := range archive.Files {
			switch file.Name {
			case wrongRecipe:
				job = string(file.Data)
			case "brushes/fine-sable.md":
				brush = string(file.Data)
			}
		}
		f.Add(job, brush)
	}
	base := studio(f)
	f.Fuzz(func(t *testing.T, job, brush string) {
		root := fstest.MapFS{}
		for name, file := range base {
			root[name] = file
		}
		root["heron/reeds.md"] = &fstest.MapFile{Data: []byte(job)}
		root["brushes/fine-sable.md"] = &fstest.MapFile{Data: []byte(brush)}
		first := snapshot(t, root)
		if second := snapshot(t, root); first != second {
			t.Errorf("read twice, read differently:\n%s\n%s", first, second)
		}
	})
}

// snapshot reads a recipe, checks its list and writes everything down.
func snapshot(t *testing.T, root fstest.MapFS) string {
	t.Helper()
	job, list := recipe.Read(root, "heron/reeds.md")
	var b bytes.Buffer
	if err := problem.Print(&b, list); err != nil {
		t.Fatal(err)
	}
	if err := problem.PrintJSON(&b, list); err != nil {
		t.Fatal(err)
	}
	for _, p := range list {
		checkFuzzed(t, p)
	}
	if !list.HasErrors() {
		checkWhole(t, job)
	}
	fmt.Fprintf(&b, "%+v %+v %+v %+v %+v %+v", job.Facts, job.Workings, job.Page, job.Results, job.Sheet, job.Machine)
	return b.String()
}

func checkFuzzed(t *testing.T, p problem.Problem) {
	t.Helper()
	inside := func(at source.Place) {
		if !at.Known() || at.Start < 0 || at.End < at.Start || at.End > len(at.File.Data) {
			t.Errorf("%s is at %d to %d", p, at.Start, at.End)
		}
	}
	inside(p.Place)
	for _, related := range p.Related {
		inside(related.Place)
	}
	if p.Fix.None() {
		t.Errorf("%s has no fix", p)
	}
	if data, ok := p.Fixed(); ok && bytes.Equal(data, p.Place.File.Data) {
		t.Errorf("%s: the fix changes nothing", p)
	}
}

// checkWhole checks a job without errors.
func checkWhole(t *testing.T, job *model.Job) {
	t.Helper()
	for _, l := range job.Layers {
		if l.Brush == nil || l.Brush.Curve == nil || l.Feed <= 0 || l.Ink.Hex == "" || l.Drawing == "" {
			t.Errorf("a layer without errors is not whole: %+v", l)
		}
	}
	stated := slices.ContainsFunc(job.Page, func(b model.Block) bool { return b.Section.Word == "Registration" })
	if len(job.Layers) == 0 || stated && len(job.Marks) == 0 || job.Sheet.Width <= 0 || job.Machine.ReachX <= 0 {
		t.Errorf("a job without errors is not whole: %+v", job)
	}
}
