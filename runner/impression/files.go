package impression

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// Files are files in memory by their path, with forward slashes. As a file
// system they are a studio of which exactly what was looked at is read, and
// nothing else that has come to lie beside it.
type Files map[string][]byte

// Open opens a file or a folder.
func (f Files) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	if data, ok := f[name]; ok {
		return &memFile{memInfo{path.Base(name), int64(len(data)), false}, bytes.NewReader(data)}, nil
	}
	below := name + "/"
	if name == "." {
		below = ""
	}
	inside := map[string]memInfo{}
	for full, data := range f {
		rest, ok := strings.CutPrefix(full, below)
		if !ok {
			continue
		}
		first, _, deeper := strings.Cut(rest, "/")
		inside[first] = memInfo{first, int64(len(data)), deeper}
	}
	if len(inside) == 0 && name != "." {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	var entries []fs.DirEntry
	for _, info := range inside {
		entries = append(entries, fs.FileInfoToDirEntry(info))
	}
	slices.SortFunc(entries, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return &memFolder{memInfo{path.Base(name), 0, true}, entries}, nil
}

// memInfo describes a file or a folder. There is no time in it: nothing that
// is made from frozen files may know one.
type memInfo struct {
	name string
	size int64
	dir  bool
}

func (i memInfo) Name() string { return i.name }
func (i memInfo) Size() int64 {
	if i.dir {
		return 0
	}
	return i.size
}
func (i memInfo) Mode() fs.FileMode {
	if i.dir {
		return fs.ModeDir | 0o555
	}
	return 0o444
}
func (i memInfo) ModTime() time.Time { return time.Time{} }
func (i memInfo) IsDir() bool        { return i.dir }
func (i memInfo) Sys() any           { return nil }

type memFile struct {
	info memInfo
	*bytes.Reader
}

func (f *memFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *memFile) Close() error               { return nil }

type memFolder struct {
	info memInfo
	rest []fs.DirEntry
}

func (f *memFolder) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *memFolder) Close() error               { return nil }
func (f *memFolder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.info.name, Err: fs.ErrInvalid}
}

func (f *memFolder) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 {
		all := f.rest
		f.rest = nil
		return all, nil
	}
	if len(f.rest) == 0 {
		return nil, io.EOF
	}
	n = min(n, len(f.rest))
	some := f.rest[:n]
	f.rest = f.rest[n:]
	return some, nil
}
