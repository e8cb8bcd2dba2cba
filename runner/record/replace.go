package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// Reserved says whether a job cannot be called so, since its folder would be
// one of the logbook's own.
func Reserved(job string) bool {
	for part := range strings.SplitSeq(strings.ToLower(job), "/") {
		if part == Impressions || strings.HasPrefix(part, ".mahlstick") || part == "index.html" {
			return true
		}
	}
	return false
}

// Impressions is the folder of a job's signed impressions.
const Impressions = "impressions"

// Add puts a new folder into the job's, whole or not at all; it never touches
// one that is there. name is its path below the job's folder, with forward
// slashes.
func (l *Locked) Add(name string, outputs []Output) error {
	if name != path.Clean(name) || !filepath.IsLocal(name) || name == "." {
		return fmt.Errorf("%q is no name for a folder", name)
	}
	if err := l.store.inside(path.Join(l.job, path.Dir(name))); err != nil {
		return err
	}
	d := l.store.Disk
	target := filepath.Join(l.store.Folder(l.job), filepath.FromSlash(name))
	making := l.making()
	err := l.stage(making, "", outputs)
	if err == nil {
		err = d.Make(filepath.Dir(target))
	}
	if err == nil && exists(target) {
		err = fmt.Errorf("%s is there already", name)
	}
	if err == nil {
		err = d.Rename(making, target)
	}
	if err != nil {
		return errors.Join(err, removeAll(d, making))
	}
	// The names on the way to it may be new, too.
	for up := filepath.Dir(target); ; up = filepath.Dir(up) {
		if err := d.Sync(up); err != nil {
			return postCommit(err)
		}
		if up == l.store.Folder(l.job) || up == filepath.Dir(up) {
			return postCommit(d.Sync(filepath.Dir(making)))
		}
	}
}

// mine names the files of a job's folder that a run wrote: those that its
// record lists, and the record. In a folder without one nothing is ours.
func (l *Locked) mine(dir string) []string {
	name := filepath.Join(dir, RecordName)
	if info, err := os.Lstat(name); err != nil || !info.Mode().IsRegular() || info.Size() > MaxBytes {
		return nil
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil
	}
	r, err := Parse(data)
	if err != nil {
		return []string{RecordName}
	}
	names := []string{RecordName}
	for _, o := range r.Outputs {
		// A run writes no folders: a record that names any is not to be
		// believed, least of all about impressions.
		if !strings.Contains(o.Name, "/") {
			names = append(names, o.Name)
		}
	}
	return names
}

// Replace makes the outputs the job's result: all of them or none. Files of
// an earlier result that the new one does not have go; everything else that
// stands in the folder, impressions above all, stays. The outputs must hold
// the record, under RecordName.
func (l *Locked) Replace(outputs []Output) error {
	if !slices.ContainsFunc(outputs, func(o Output) bool { return o.Name == RecordName }) {
		return fmt.Errorf("a result without %s", RecordName)
	}
	if i := slices.IndexFunc(outputs, func(o Output) bool { return strings.Contains(o.Name, "/") }); i >= 0 {
		return fmt.Errorf("%q: a result has no folders", outputs[i].Name)
	}
	d := l.store.Disk
	folder, fresh, old, journal := l.names()
	making := l.making()
	err := l.stage(making, folder, outputs)
	if err == nil {
		err = d.Make(filepath.Dir(folder))
	}
	if err == nil {
		err = d.Rename(making, fresh)
	}
	if err != nil {
		return errors.Join(err, removeAll(d, making))
	}
	if !exists(folder) {
		if err := d.Rename(fresh, folder); err != nil {
			return errors.Join(err, removeAll(d, fresh))
		}
		return postCommit(errors.Join(d.Sync(filepath.Dir(folder)), d.Sync(filepath.Dir(fresh))))
	}
	err = d.Exchange(fresh, folder)
	if err == nil {
		if err := errors.Join(d.Sync(filepath.Dir(folder)), d.Sync(filepath.Dir(fresh))); err != nil {
			return postCommit(err)
		}
		return postCommit(l.clear(fresh))
	}
	if !errors.Is(err, ErrNoExchange) {
		return errors.Join(err, removeAll(d, fresh))
	}
	if err := errors.Join(d.Write(journal, []byte(l.job+"\n")), d.Sync(filepath.Dir(journal))); err != nil {
		undone := error(nil)
		if exists(journal) {
			undone = d.Remove(journal)
		}
		return errors.Join(err, undone, removeAll(d, fresh))
	}
	if err := d.Rename(folder, old); err != nil {
		return errors.Join(err, d.Remove(journal), removeAll(d, fresh))
	}
	return postCommit(l.recover())
}

// PostCommitError says that the new result stands, or will with the next command,
// though something failed after it was whole.
type PostCommitError struct{ Err error }

func (e *PostCommitError) Error() string { return e.Err.Error() }

// Unwrap gives what failed.
func (e *PostCommitError) Unwrap() error { return e.Err }

func postCommit(err error) error {
	if err == nil {
		return nil
	}
	return &PostCommitError{err}
}

// stage writes the whole new folder: the outputs, and links to what stays of
// the old one, where one is named.
func (l *Locked) stage(fresh, folder string, outputs []Output) error {
	d := l.store.Disk
	if err := d.Make(fresh); err != nil {
		return err
	}
	folders := map[string]bool{fresh: true}
	into := func(name string) (string, error) {
		full := filepath.Join(fresh, filepath.FromSlash(name))
		dir := filepath.Dir(full)
		for up := dir; !folders[up]; up = filepath.Dir(up) {
			folders[up] = true
		}
		return full, d.Make(dir)
	}
	names := map[string]bool{}
	for _, o := range outputs {
		if o.Name != path.Clean(o.Name) || !filepath.IsLocal(o.Name) {
			return fmt.Errorf("%q is no name for an output", o.Name)
		}
		full, err := into(o.Name)
		if err == nil {
			err = d.Write(full, o.Data)
		}
		if err != nil {
			return err
		}
		names[o.Name] = true
	}
	modes := map[string]fs.FileMode{} // of folders that stay, where they are not the usual ones
	if folder != "" && exists(folder) {
		mine := l.mine(folder)
		err := filepath.WalkDir(folder, func(name string, e fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			rel, err := filepath.Rel(folder, name)
			if err != nil {
				return err
			}
			rel = filepath.ToSlash(rel)
			if e.IsDir() {
				full := filepath.Join(fresh, filepath.FromSlash(rel))
				folders[full] = true
				if err := d.Make(full); err != nil {
					return err
				}
				was, err := e.Info()
				if err != nil {
					return err
				}
				is, err := os.Lstat(full)
				if err == nil && rel != "." && was.Mode().Perm() != is.Mode().Perm() {
					modes[full] = was.Mode().Perm()
				}
				return err
			}
			if names[rel] || slices.Contains(mine, rel) {
				return nil
			}
			full, err := into(rel)
			if err != nil {
				return err
			}
			return d.Link(name, full)
		})
		if err != nil {
			return err
		}
	}
	sorted := make([]string, 0, len(folders))
	for f := range folders {
		sorted = append(sorted, f)
	}
	slices.Sort(sorted)
	for _, f := range slices.Backward(sorted) {
		if mode, ok := modes[f]; ok {
			if err := d.Mode(f, mode); err != nil {
				return err
			}
		}
		if err := d.Sync(f); err != nil {
			return err
		}
	}
	return nil
}

// WriteShared replaces a file of the logbook that belongs to no job, under a
// lock of its own.
func (s Store) WriteShared(name string, data []byte) error {
	locked, err := s.Lock("." + name)
	if err != nil {
		return err
	}
	// Version control must not turn line ends over: every byte counts.
	if !exists(filepath.Join(s.Dir, attributes)) {
		err = s.writeShared(attributes, []byte("* -text\n"))
	}
	return errors.Join(err, s.writeShared(name, data), locked.Unlock())
}

const attributes = ".gitattributes"

func (s Store) writeShared(name string, data []byte) error {
	full := filepath.Join(s.Dir, name)
	if old, err := os.ReadFile(full); err == nil && string(old) == string(data) {
		return nil
	}
	fresh := s.work("."+name, ".file")
	if err := removeAll(s.Disk, fresh); err != nil {
		return err
	}
	if err := s.Disk.Write(fresh, data); err != nil {
		return errors.Join(err, removeAll(s.Disk, fresh))
	}
	return errors.Join(s.Disk.Rename(fresh, full), s.Disk.Sync(s.Dir))
}
