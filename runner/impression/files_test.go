package impression_test

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"mahlstick/runner/impression"
)

// The standard library's own test of file systems.
func TestFilesIsAFileSystem(t *testing.T) {
	files := impression.Files{"studio.md": []byte("# Studio\n"), "pond/pond.md": []byte("# Pond\n"), "pond/deep/er/x.dxf": nil, "pondx": []byte("x")}
	if err := fstest.TestFS(files, "studio.md", "pond/pond.md", "pond/deep/er/x.dxf", "pondx"); err != nil {
		t.Fatal(err)
	}
	if err := fstest.TestFS(impression.Files{}); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../studio.md", "/studio.md", "pond/../studio.md", "po", "pond/"} {
		if _, err := fs.ReadFile(files, name); err == nil {
			t.Errorf("%q could be read", name)
		}
	}
}
