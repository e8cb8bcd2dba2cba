package recipe_test

import (
	"bytes"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
)

var update = flag.Bool("update", false, "write the printed messages into the archives")

// studio is a copy of the test studio in memory.
func studio(t testing.TB) fstest.MapFS {
	t.Helper()
	root := os.DirFS("testdata/studio")
	out := fstest.MapFS{}
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(root, name)
		out[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

const wrongRecipe = "heron/reeds.md"

// Each archive holds the files that differ from the test studio, the messages
// as they are printed ("want"), and, where a fix is advice, what a reader would
// change ("edit": old => new). The fixes are applied one after the other; then
// the recipe must pass.
func TestWrongRecipes(t *testing.T) {
	names, err := filepath.Glob("testdata/wrong/*.txtar")
	if err != nil || len(names) < 20 {
		t.Fatal(len(names), err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) { checkWrong(t, name) })
	}
}

func checkWrong(t *testing.T, name string) {
	archive, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	root := studio(t)
	var want *txtar.File
	edits := ""
	for i, f := range archive.Files {
		switch f.Name {
		case "want":
			want = &archive.Files[i]
		case "edit":
			edits = string(f.Data)
		default:
			root[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	_, list := recipe.Read(root, wrongRecipe)
	var printed bytes.Buffer
	if err := problem.Print(&printed, list); err != nil {
		t.Fatal(err)
	}
	if *update {
		want.Data = printed.Bytes()
		if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(string(want.Data), printed.String()); diff != "" {
		t.Error(diff)
	}
	if len(list) == 0 {
		t.Fatal("nothing is wrong with it")
	}
	for _, p := range list {
		if p.Fix.None() || !p.Place.Known() {
			t.Errorf("%s has no fix or no place", p)
		}
	}
	fixAll(t, root, list, edits)
}

// fixAll applies fixes until no error is left.
func fixAll(t *testing.T, root fstest.MapFS, list problem.List, edits string) {
	t.Helper()
	for range 20 {
		if !list.HasErrors() {
			return
		}
		fixed := false
		for _, p := range list {
			if p.Severity != problem.Error {
				continue
			}
			if data, ok := p.Fixed(); ok {
				root[p.Place.Name()] = &fstest.MapFile{Data: data}
				fixed = true
				break
			}
		}
		if !fixed {
			if edits == "" {
				t.Fatalf("no fix can be applied: %v", list)
			}
			edit(t, root, edits)
			edits = ""
		}
		_, list = recipe.Read(root, wrongRecipe)
	}
	t.Errorf("the fixes do not help: %v\n%s", list, root[wrongRecipe].Data)
}

func edit(t *testing.T, root fstest.MapFS, edits string) {
	t.Helper()
	names := make([]string, 0, len(root))
	for name := range root {
		names = append(names, name)
	}
	slices.Sort(names)
	for line := range strings.Lines(edits) {
		// \n is the end of a line in both texts.
		old, after, ok := strings.Cut(strings.ReplaceAll(strings.TrimSuffix(line, "\n"), `\n`, "\n"), " => ")
		found := false
		for _, name := range names {
			if data := root[name].Data; bytes.Contains(data, []byte(old)) {
				root[name] = &fstest.MapFile{Data: bytes.ReplaceAll(data, []byte(old), []byte(after))}
				found = true
			}
		}
		if !ok || !found {
			t.Fatalf("the edit %q finds nothing", line)
		}
	}
}
