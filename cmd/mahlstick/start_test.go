package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/notebooks"
)

// tree lists what is in a folder, folders included.
func tree(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(name string, _ fs.DirEntry, err error) error {
		if rel, _ := filepath.Rel(dir, name); rel != "." {
			out = append(out, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

var small = fstest.MapFS{
	"studio.md":   {Data: []byte("# Studio\n")},
	"a/one.md":    {Data: []byte("# One\n")},
	"a/b/two.dxf": {Data: []byte("two\n")},
}

func TestLayOut(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "studio")
	wrote, err := layOut(dir, small)
	want := []string{"a/b/two.dxf", "a/one.md", "studio.md"}
	if err != nil || !slices.Equal(wrote, want) {
		t.Errorf("wrote %v, %v", wrote, err)
	}
	if wrote, err = layOut(dir, small); err != nil || len(wrote) > 0 {
		t.Errorf("the second time: wrote %v, %v", wrote, err)
	}
	if err := os.Remove(filepath.Join(dir, "a", "one.md")); err != nil {
		t.Fatal(err)
	}
	if wrote, err = layOut(dir, small); err != nil || !slices.Equal(wrote, []string{"a/one.md"}) {
		t.Errorf("with one missing: wrote %v, %v", wrote, err)
	}
}

// Whatever goes wrong, the folder is left as it was.
func TestLayOutLeavesTheFolderAlone(t *testing.T) {
	long := strings.Repeat("z", 300) // no file system takes such a name
	for _, test := range []struct {
		name  string
		files fstest.MapFS
		make  func(dir string) error
		want  string
	}{
		{"another file", small, func(dir string) error {
			return os.WriteFile(filepath.Join(dir, "studio.md"), []byte("mine\n"), 0o644)
		}, "studio.md"},
		{"a file where a folder is wanted", small, func(dir string) error {
			return os.WriteFile(filepath.Join(dir, "a"), nil, 0o644)
		}, "in the way"},
		{"a folder where a file is wanted", small, func(dir string) error {
			return os.MkdirAll(filepath.Join(dir, "a", "one.md"), 0o755)
		}, "one.md"},
		{"a link that leads out", small, func(dir string) error {
			return os.Symlink(os.TempDir(), filepath.Join(dir, "a"))
		}, "in the way"},
		{"a link to nothing", small, func(dir string) error {
			return os.Symlink("nowhere", filepath.Join(dir, "studio.md"))
		}, "studio.md"},
		{"no room", fstest.MapFS{"a/one.md": small["a/one.md"], "n.md": small["studio.md"], "z/" + long: {Data: nil}}, func(string) error { return nil }, "cannot be written"},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "mine.txt"), []byte("mine\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			if err := test.make(dir); err != nil {
				t.Fatal(err)
			}
			before := tree(t, dir)
			wrote, err := layOut(dir, test.files)
			if err == nil || len(wrote) > 0 || !strings.Contains(err.Error(), test.want) {
				t.Errorf("wrote %v; %v", wrote, err)
			}
			if after := tree(t, dir); !slices.Equal(before, after) {
				t.Errorf("before %v, after %v", before, after)
			}
		})
	}
	t.Run("a folder of its own", func(t *testing.T) {
		dir := t.TempDir()
		if _, err := layOut(filepath.Join(dir, "x", "y"), fstest.MapFS{"a.md": small["studio.md"], long: {Data: nil}}); err == nil {
			t.Error("it went well")
		}
		if after := tree(t, dir); len(after) > 0 {
			t.Errorf("left behind: %v", after)
		}
	})
}

// What is said to be written names every part of the studio.
func TestWelcomeNamesEveryPart(t *testing.T) {
	listed := map[string]bool{}
	for _, p := range parts {
		listed[p.name] = true
	}
	err := fs.WalkDir(notebooks.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !listed[topOf(name)] {
			t.Errorf("nothing is said about %s", name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
