package record

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"mahlstick/runner/record/disk"
)

// Put writes one more file into the job's folder, whole or not at all. It is no
// part of the result: a later run leaves it where it is. Another file of that name
// is never lost: it is renamed and listed in kept.
func (l *Locked) Put(o Output) (kept []Kept, err error) {
	if strings.ContainsAny(o.Name, "/\\") || !filepath.IsLocal(o.Name) || o.Name == "." {
		return nil, fmt.Errorf("%q is not a name for a file", o.Name)
	}
	d, folder := l.store.Disk, l.store.Folder(l.job)
	full := filepath.Join(folder, o.Name)
	fresh := l.store.workPath(l.job, ".file")
	// One that was killed may have left it, also where nothing is to be written now.
	if err := disk.RemoveAll(d, fresh); err != nil {
		return nil, err
	}
	there, err := hashOf(full)
	if err != nil || there == Hash(o.Data) {
		return l.kept, err
	}
	err = d.Make(folder)
	if err == nil {
		err = d.Write(fresh, o.Data)
	}
	r := &replacement{disk: d, folder: folder, kept: l.kept}
	if err == nil && disk.Exists(full) {
		err = r.keep(full, there)
	}
	if err == nil {
		err = d.Rename(fresh, full)
	}
	if err != nil {
		return r.kept, errors.Join(err, disk.RemoveAll(d, fresh))
	}
	return r.kept, postCommit(d.Sync(folder))
}
