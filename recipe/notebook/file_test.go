package notebook_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"mahlstick/recipe/notebook"
)

// meddled is a folder in which somebody writes to each file as it is read.
type meddled struct {
	dir    string
	meddle func(name string)
}

func (m meddled) Open(name string) (fs.File, error) {
	f, err := os.Open(filepath.Join(m.dir, name))
	return &meddledFile{f, func() { m.meddle(filepath.Join(m.dir, name)) }}, err
}

type meddledFile struct {
	*os.File
	meddle func()
}

func (f *meddledFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	if f.meddle != nil {
		f.meddle()
		f.meddle = nil
	}
	return n, err
}

// A file that somebody writes to while it is read is found out, however it
// changes; one that is let alone, or replaced as a whole, is read.
func TestReadFileThatChanges(t *testing.T) {
	text := "a recipe\n"
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for what, c := range map[string]struct {
		meddle func(name string)
		want   error
	}{
		"let alone": {func(string) {}, nil},
		"longer":    {func(name string) { write(name, text+"more\n") }, notebook.ErrChanged},
		"emptied":   {func(name string) { write(name, "") }, notebook.ErrChanged},
		"other text of that length": {func(name string) {
			write(name, "A RECIPE\n")
			if err := os.Chtimes(name, time.Time{}, time.Now().Add(time.Second)); err != nil {
				t.Fatal(err)
			}
		}, notebook.ErrChanged},
		"replaced as a whole": {func(name string) {
			write(name+".new", "another\n")
			if err := os.Rename(name+".new", name); err != nil {
				t.Fatal(err)
			}
		}, nil},
	} {
		dir := t.TempDir()
		write(filepath.Join(dir, "pond.md"), text)
		data, err := notebook.ReadFile(meddled{dir, c.meddle}, "pond.md", 1<<20)
		if !errors.Is(err, c.want) || err == nil && string(data) != text {
			t.Errorf("%s: %q, %v, want %v", what, data, err, c.want)
		}
	}
}

func TestReadFileRefuses(t *testing.T) {
	dir := t.TempDir()
	if err := errors.Join(os.WriteFile(filepath.Join(dir, "long.md"), make([]byte, 100), 0o644), os.Mkdir(filepath.Join(dir, "folder.md"), 0o755)); err != nil {
		t.Fatal(err)
	}
	root := os.DirFS(dir)
	var large *notebook.TooLargeError
	if _, err := notebook.ReadFile(root, "long.md", 99); !errors.As(err, &large) || large.Size != 100 || large.Limit != 99 {
		t.Errorf("a file that is too large: %v", err)
	}
	if data, err := notebook.ReadFile(root, "long.md", 100); err != nil || len(data) != 100 {
		t.Errorf("a file that just fits: %d bytes, %v", len(data), err)
	}
	if _, err := notebook.ReadFile(root, "folder.md", 99); !errors.Is(err, notebook.ErrNotAFile) {
		t.Errorf("a folder: %v", err)
	}
	if _, err := notebook.ReadFile(root, "none.md", 99); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}
