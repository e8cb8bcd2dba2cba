package record

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"mahlstick/runner/record/disk"
)

// Kept is a file that somebody changed by hand after the last run. As is its new
// name in the job's folder, where the new run's file takes the old name.
type Kept struct{ Name, As string }

// Replace replaces the job's result with the outputs: all of them or none. Outputs
// of the earlier result that the new one does not have are removed. A file that
// the earlier run did not write, or that was changed since, is never lost: if the
// new result has a file of that name, the old one is renamed and listed in kept.
// Other files of the folder are not touched. The outputs must include the record,
// under RecordName.
func (l *Locked) Replace(outputs []Output) (kept []Kept, err error) {
	if !slices.ContainsFunc(outputs, func(o Output) bool { return o.Name == RecordName }) {
		return nil, fmt.Errorf("a result without %s", RecordName)
	}
	if i := slices.IndexFunc(outputs, func(o Output) bool { return strings.Contains(o.Name, "/") }); i >= 0 {
		return nil, fmt.Errorf("%q: a result has no folders", outputs[i].Name)
	}
	d := l.store.Disk
	making, next, folder := l.store.workPath(l.job, makingSuffix), l.store.workPath(l.job, nextSuffix), l.store.Folder(l.job)
	first := !disk.Exists(folder)
	err = l.stage(making, outputs)
	if err == nil {
		err = d.Rename(making, next)
	}
	if err != nil {
		return nil, errors.Join(err, disk.RemoveAll(d, making))
	}
	r, err := l.replacement()
	if err == nil {
		err = d.Sync(filepath.Dir(next))
	}
	if err == nil {
		err = r.exchangeFiles()
	}
	if err != nil {
		if undone := r.undo(making); undone != nil {
			return nil, postCommit(errors.Join(err, undone))
		}
		return nil, errors.Join(err, disk.RemoveAll(d, making), l.removeIfEmpty(folder, first))
	}
	err = r.finish()
	return slices.Concat(l.kept, r.kept), postCommit(err)
}

// removeIfEmpty removes the job's folder if this run made it and it is empty.
func (l *Locked) removeIfEmpty(folder string, made bool) error {
	if entries, err := os.ReadDir(folder); !made || err != nil || len(entries) > 0 {
		return nil
	}
	return l.store.Disk.Remove(folder)
}

// complete finishes a replacement that was interrupted, and removes a result that
// never became whole.
func (l *Locked) complete() ([]Kept, error) {
	d := l.store.Disk
	next := l.store.workPath(l.job, nextSuffix)
	var kept []Kept
	if info, err := os.Lstat(filepath.Join(next, RecordName)); err == nil && info.Mode().IsRegular() && l.store.inside(workFolder+"/"+filepath.Base(next)) == nil {
		r, err := l.replacement()
		if err == nil {
			err = r.exchangeFiles()
		}
		if err == nil {
			err = r.finish()
		}
		kept = r.kept
		if err != nil {
			return kept, err
		}
	}
	return kept, errors.Join(disk.RemoveAll(d, next), disk.RemoveAll(d, l.store.workPath(l.job, makingSuffix)))
}

// replacement is a whole new result on its way into the job's folder. Each step
// exchanges the file of one name between two folders, so that doing a step
// twice undoes it. The record comes last: while it is in the folder next, the
// one in the job's folder is still that of the earlier result.
type replacement struct {
	disk         disk.Disk
	folder, next string
	fresh, old   map[string]string // SHA-256 of the outputs of both results by name
	done         []string          // names that this run exchanged
	kept         []Kept
}

func (l *Locked) replacement() (*replacement, error) {
	r := &replacement{disk: l.store.Disk, folder: l.store.Folder(l.job), next: l.store.workPath(l.job, nextSuffix)}
	var err error
	if r.fresh, err = ownedFiles(r.next); err == nil {
		r.old, err = ownedFiles(r.folder)
	}
	return r, err
}

// ownedFiles lists the files that a run wrote into a folder, by the record in it:
// SHA-256 by name, without the record itself. It is empty if the record is missing
// or cannot be parsed.
func ownedFiles(dir string) (map[string]string, error) {
	data, err := readRecord(dir)
	if err != nil {
		return nil, err
	}
	owned := map[string]string{}
	r, err := Parse(data)
	if err != nil {
		return owned, nil
	}
	for _, o := range r.Outputs {
		// A run writes no folders: a record that names one was not written by a run.
		if !strings.Contains(o.Name, "/") && filepath.IsLocal(o.Name) && o.Name != RecordName && o.Name != "." {
			owned[o.Name] = o.SHA256
		}
	}
	return owned, nil
}

// readRecord reads the record in a folder. It returns nil if there is none, or if
// what has its name cannot be one.
func readRecord(dir string) ([]byte, error) {
	name := filepath.Join(dir, RecordName)
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular(), info.Size() > MaxBytes:
		return nil, nil
	}
	return os.ReadFile(name)
}

// ErrInTheWay is returned if a folder has the name of an output.
var ErrInTheWay = errors.New("is a folder, where a file must be written")

// exchangeFiles exchanges every file but the record.
func (r *replacement) exchangeFiles() error {
	if err := r.disk.Make(r.folder); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(r.fresh)) {
		if err := r.finishExchange(name); err != nil {
			return err
		}
		if info, err := os.Lstat(filepath.Join(r.folder, name)); err == nil && info.IsDir() {
			return fmt.Errorf("%s %w", filepath.Join(r.folder, name), ErrInTheWay)
		}
		inNext, err := hashOf(filepath.Join(r.next, name))
		if err != nil {
			return err
		}
		inFolder, err := hashOf(filepath.Join(r.folder, name))
		if err != nil {
			return err
		}
		if inNext != r.fresh[name] || inFolder == r.fresh[name] {
			continue // exchanged before an interruption, or unchanged
		}
		if err := r.exchange(name); err != nil {
			return err
		}
		r.done = append(r.done, name)
	}
	// Outputs that the new result does not have leave the job's folder.
	for _, name := range slices.Sorted(maps.Keys(r.old)) {
		info, err := os.Lstat(filepath.Join(r.folder, name))
		if _, again := r.fresh[name]; again || err != nil || !info.Mode().IsRegular() || disk.Exists(filepath.Join(r.next, name)) {
			continue
		}
		if err := r.exchange(name); err != nil {
			return err
		}
		r.done = append(r.done, name)
	}
	return nil
}

// undo exchanges everything back and moves the new result to making, from where
// it no longer counts.
func (r *replacement) undo(making string) error {
	for name := range r.fresh {
		a, b := filepath.Join(r.next, name), filepath.Join(r.folder, name)
		if !disk.Exists(a + replacedSuffix) {
			continue
		}
		// An exchange in several steps failed: after the first, or after the second,
		// which is completed here and then undone as the others.
		back := b
		if disk.Exists(b) {
			back = a
			r.done = append(r.done, name)
		}
		if err := r.disk.Rename(a+replacedSuffix, back); err != nil {
			return err
		}
	}
	for _, name := range slices.Backward(r.done) {
		if err := r.exchange(name); err != nil {
			return err
		}
	}
	return r.disk.Rename(r.next, making)
}

// exchange swaps the file of a name between the two folders; one of them may
// have none.
func (r *replacement) exchange(name string) error {
	a, b := filepath.Join(r.next, name), filepath.Join(r.folder, name)
	switch {
	case !disk.Exists(a):
		return r.disk.Rename(b, a)
	case !disk.Exists(b):
		return r.disk.Rename(a, b)
	}
	err := r.disk.Exchange(a, b)
	if !errors.Is(err, disk.ErrNoExchange) {
		return err
	}
	if err := r.disk.Rename(b, a+replacedSuffix); err != nil {
		return err
	}
	return r.finishExchange(name)
}

// replacedSuffix marks the old file while an exchange takes more than one step.
const replacedSuffix = ".replaced"

// finishExchange finishes an exchange that takes several steps.
func (r *replacement) finishExchange(name string) error {
	a, b := filepath.Join(r.next, name), filepath.Join(r.folder, name)
	if !disk.Exists(a + replacedSuffix) {
		return nil
	}
	if !disk.Exists(b) {
		if err := r.disk.Rename(a, b); err != nil {
			return err
		}
	}
	return r.disk.Rename(a+replacedSuffix, a)
}

// finish removes the replaced files, keeps those that were changed by hand, and
// moves the record to its place. If it fails, the next command does the rest.
func (r *replacement) finish() error {
	if err := r.disk.Sync(r.folder); err != nil {
		return err
	}
	entries, err := os.ReadDir(r.next)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == RecordName {
			continue
		}
		name := filepath.Join(r.next, e.Name())
		hash, err := hashOf(name)
		if err != nil {
			return err
		}
		if hash != "" && (hash == r.old[e.Name()] || hash == r.fresh[e.Name()]) {
			err = r.disk.Remove(name)
		} else {
			err = r.keep(name, hash)
		}
		if err != nil {
			return err
		}
	}
	old, err := readRecord(r.folder)
	if err != nil {
		return err
	}
	if there := filepath.Join(r.folder, RecordName); disk.Exists(there) && !Sealed(old) {
		hash, err := hashOf(there)
		if err != nil {
			return err
		}
		if err := r.keep(there, hash); err != nil {
			return err
		}
	}
	err = r.disk.Rename(filepath.Join(r.next, RecordName), filepath.Join(r.folder, RecordName))
	if err == nil {
		err = r.disk.Sync(r.folder)
	}
	if err == nil {
		err = r.disk.Remove(r.next)
	}
	if err == nil {
		err = r.disk.Sync(filepath.Dir(r.next))
	}
	return err
}

// changedSuffix is added to the name of a file that was changed by hand, when a run
// writes another file of that name.
const changedSuffix = ".changed"

// keep moves a file that was changed by hand to a free name in the job's folder.
func (r *replacement) keep(file, hash string) error {
	name := filepath.Base(file)
	as := name + changedSuffix
	for n := 2; ; n++ {
		to := filepath.Join(r.folder, as)
		if !disk.Exists(to) {
			r.kept = append(r.kept, Kept{name, as})
			return r.disk.Rename(file, to)
		}
		if there, err := hashOf(to); err == nil && hash != "" && there == hash {
			r.kept = append(r.kept, Kept{name, as})
			return r.disk.Remove(file)
		}
		as = fmt.Sprintf("%s%s-%d", name, changedSuffix, n)
	}
}

// hashOf is the SHA-256 of a file; "" if there is none, or if it is a folder or a
// link.
func hashOf(name string) (string, error) {
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	case err != nil:
		return "", err
	case !info.Mode().IsRegular():
		return "", nil
	}
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
