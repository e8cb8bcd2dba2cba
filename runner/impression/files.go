package impression

import (
	"io/fs"
	"testing/fstest"
)

// Files are files in memory by their path, with forward slashes.
type Files map[string][]byte

// FS is the files as a read-only file system: a studio with exactly the files that
// were checked, and nothing else from the disk. All modification times are zero,
// because nothing made from frozen files may depend on one.
func (f Files) FS() fs.FS {
	files := fstest.MapFS{}
	for name, data := range f {
		files[name] = &fstest.MapFile{Data: data, Mode: 0o444}
	}
	return files
}
