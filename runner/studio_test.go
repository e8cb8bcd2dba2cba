package runner_test

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/record"
)

// quickDir is a folder of the test's own, in memory where there is such a
// place: what waits for a medium takes long there.
func quickDir(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "mahlstick")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// studioOf copies a studio into a folder of the test's own.
func studioOf(t testing.TB, files fs.FS) string {
	t.Helper()
	dir := quickDir(t)
	if err := os.CopyFS(dir, files); err != nil {
		t.Fatal(err)
	}
	return dir
}

func pond(t testing.TB) (studio, recipe string) {
	t.Helper()
	studio = studioOf(t, os.DirFS("../testdata/studio"))
	return studio, filepath.Join(studio, "pond", "pond.md")
}

func heron(t testing.TB) (studio, recipe string) {
	t.Helper()
	studio = studioOf(t, notebooks.Files)
	return studio, filepath.Join(studio, "heron", "heron.md")
}

// rewrite changes a file line by line.
func rewrite(t testing.TB, file string, change func(line string) string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for line := range strings.Lines(string(text)) {
		out.WriteString(change(strings.TrimRight(line, "\n")) + "\n")
	}
	if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func mustRun(t testing.TB, recipe string, options runner.Options) *runner.Result {
	t.Helper()
	r, problems, err := runner.Run(recipe, options)
	if err != nil || problems.HasErrors() {
		t.Fatalf("%s: %v %v", recipe, err, problems)
	}
	return r
}

// mustSign runs a recipe, writes the result and signs it so many times.
func mustSign(t testing.TB, recipe string, times int) *runner.Result {
	t.Helper()
	r := mustRun(t, recipe, runner.Options{})
	store := runner.LogbookOf(r.Studio)
	if _, err := r.Write(store); err != nil {
		t.Fatal(err)
	}
	for range times {
		if _, problems, err := r.Sign(store, ""); err != nil || problems.HasErrors() {
			t.Fatal(err, problems)
		}
	}
	return r
}

// mustSignDespite signs a run of the pond that its recipe does not give any
// more: what was run is frozen too.
func mustSignDespite(t testing.TB, recipe string) {
	t.Helper()
	r := mustRun(t, recipe, runner.Options{})
	text, err := os.ReadFile(recipe)
	slower := bytes.Replace(text, []byte("0.8 * 750"), []byte("0.6 * 750"), 1)
	store := runner.LogbookOf(r.Studio)
	if err == nil {
		_, err = r.Write(store)
	}
	if err := errors.Join(err, os.WriteFile(recipe, slower, 0o644)); err != nil {
		t.Fatal(err)
	}
	if _, problems, err := mustRun(t, recipe, runner.Options{}).Sign(store, "painted before"); err != nil || problems.HasErrors() {
		t.Fatal(err, problems)
	}
}

// list is the files of a folder, what is in the making left out. A file that is
// known already is not read; known may be nil.
func list(t testing.TB, dir string, known func(name string, info fs.FileInfo) (data string, ok bool)) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			if e.Name() == ".mahlstick" {
				return fs.SkipDir
			}
			return nil
		}
		rel, _ := filepath.Rel(dir, name)
		rel = filepath.ToSlash(rel)
		if known != nil {
			info, err := e.Info()
			if err != nil {
				return err
			}
			if data, ok := known(rel, info); ok {
				out[rel] = data
				return nil
			}
		}
		data, err := os.ReadFile(name)
		out[rel] = string(data)
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return out
}

func sameFiles(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for name, data := range a {
		if other, ok := b[name]; !ok || other != data {
			return false
		}
	}
	return true
}

func output(r *runner.Result, name string) string {
	i := slices.IndexFunc(r.Outputs, func(o record.Output) bool { return o.Name == name })
	if i < 0 {
		return ""
	}
	return string(r.Outputs[i].Data)
}
