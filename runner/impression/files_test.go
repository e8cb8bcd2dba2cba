package impression_test

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"mahlstick/runner/impression"
)

// The standard library's own test of file systems, and what a studio needs of
// the library's files in memory beyond it: no time, no way out, and no links,
// whatever a file's content is.
func TestFilesIsAFileSystem(t *testing.T) {
	files := impression.Files{"studio.md": []byte("# Studio\n"), "pond/pond.md": []byte("# Pond\n"), "pond/deep/er/x.dxf": nil, "pondx": []byte("pond/pond.md")}.FS()
	if err := fstest.TestFS(files, "studio.md", "pond/pond.md", "pond/deep/er/x.dxf", "pondx"); err != nil {
		t.Fatal(err)
	}
	if err := fstest.TestFS(impression.Files{}.FS()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../studio.md", "/studio.md", "pond/../studio.md", "po", "pond/"} {
		if _, err := fs.ReadFile(files, name); err == nil {
			t.Errorf("%q could be read", name)
		}
	}
	for _, name := range []string{"pondx", "pond"} {
		info, err := fs.Stat(files, name)
		if err != nil || !info.ModTime().IsZero() || info.Mode().Perm()&0o222 != 0 || info.Mode()&fs.ModeSymlink != 0 {
			t.Errorf("%s: %v %v", name, info, err)
		}
	}
}
