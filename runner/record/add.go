package record

import (
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"

	"mahlstick/runner/record/disk"
)

// Add adds a new folder to the job's folder, whole or not at all. It never changes
// an existing one. name is its path below the job's folder, with forward slashes.
func (l *Locked) Add(name string, outputs []Output) error {
	if name != path.Clean(name) || !filepath.IsLocal(name) || name == "." {
		return fmt.Errorf("%q is not a name for a folder", name)
	}
	if err := l.store.inside(path.Join(l.job, path.Dir(name))); err != nil {
		return err
	}
	d := l.store.Disk
	target := filepath.Join(l.store.Folder(l.job), filepath.FromSlash(name))
	making := l.store.workPath(l.job, makingSuffix)
	err := l.stage(making, outputs)
	if err == nil {
		err = d.Make(filepath.Dir(target))
	}
	if err == nil && disk.Exists(target) {
		err = fmt.Errorf("%s is there already", name)
	}
	if err == nil {
		err = d.Rename(making, target)
	}
	if err != nil {
		return errors.Join(err, disk.RemoveAll(d, making))
	}
	// The folders above it may be new, too.
	for up := filepath.Dir(target); ; up = filepath.Dir(up) {
		if err := d.Sync(up); err != nil {
			return postCommit(err)
		}
		if up == l.store.Folder(l.job) || up == filepath.Dir(up) {
			return postCommit(d.Sync(filepath.Dir(making)))
		}
	}
}

// stage writes the outputs into a new folder and syncs all of it to the disk.
func (l *Locked) stage(dir string, outputs []Output) error {
	d := l.store.Disk
	if err := d.Make(dir); err != nil {
		return err
	}
	folders := map[string]bool{dir: true}
	for _, o := range outputs {
		if o.Name != path.Clean(o.Name) || !filepath.IsLocal(o.Name) {
			return fmt.Errorf("%q is not a name for an output", o.Name)
		}
		full := filepath.Join(dir, filepath.FromSlash(o.Name))
		if err := d.Make(filepath.Dir(full)); err != nil {
			return err
		}
		for up := filepath.Dir(full); !folders[up]; up = filepath.Dir(up) {
			folders[up] = true
		}
		if err := d.Write(full, o.Data); err != nil {
			return err
		}
	}
	sorted := make([]string, 0, len(folders))
	for f := range folders {
		sorted = append(sorted, f)
	}
	slices.Sort(sorted)
	for _, f := range slices.Backward(sorted) {
		if err := d.Sync(f); err != nil {
			return err
		}
	}
	return nil
}

// PostCommitError is an error that occurred when the new result or impression was
// already whole: it is written, or the next command completes it.
type PostCommitError struct{ Err error }

func (e *PostCommitError) Error() string { return e.Err.Error() }

// Unwrap returns the cause.
func (e *PostCommitError) Unwrap() error { return e.Err }

func postCommit(err error) error {
	if err == nil {
		return nil
	}
	return &PostCommitError{err}
}
