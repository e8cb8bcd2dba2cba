package impression

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"

	"mahlstick/runner/record"
)

// MaxBytes bounds the files of one impression together.
const MaxBytes = 2 << 30

// Frozen is an impression, or a run, as it is on the disk.
type Frozen struct {
	Record  *record.Record // nil if it cannot be trusted
	Raw     []byte         // the record's bytes
	Inputs  Files          // those that are unchanged
	Outputs Files          // those that are unchanged
	// Changed lists the files that are no longer as in the record.
	Changed []Change
	// ChangedOutputs holds changed outputs as they are now.
	ChangedOutputs Files
	// Added lists files that are not in the record. They have no effect.
	Added []string
}

// Change is a file that is no longer as it was signed.
type Change struct {
	Name string // below the impression's folder
	What string // "was changed", "is missing"
}

func (c Change) String() string { return c.Name + " " + c.What }

// Whole reports whether every file is as it was signed.
func (f *Frozen) Whole() bool { return len(f.Changed) == 0 }

// Load reads an impression's folder and compares each file with the record. It
// returns an error if the disk cannot be read, or if another version wrote the
// record.
func Load(dir string) (*Frozen, error) { return load(dir, true) }

// LoadRun reads the result of a run in the job's folder. Its inputs are in the studio
// and are not read. Changed outputs are read up to maxChangedBytes each.
func LoadRun(dir string) (*Frozen, error) { return load(dir, false) }

func load(dir string, signed bool) (*Frozen, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	l := &loader{root: root, signed: signed, wasChanged: "was changed after it was signed", known: map[string]bool{record.RecordName: true},
		frozen: &Frozen{Inputs: Files{}, Outputs: Files{}, ChangedOutputs: Files{}}}
	if !signed {
		l.wasChanged = "was changed after it was made"
	}
	f := l.frozen
	if err := l.record(); err != nil || f.Record == nil {
		return f, err
	}
	for _, out := range f.Record.Outputs {
		if err := l.file(out, out.Name, f.Outputs); err != nil {
			return nil, err
		}
	}
	if !signed {
		return f, nil
	}
	for _, in := range f.Record.Inputs {
		if err := l.file(in, path.Join(Inputs, in.Name), f.Inputs); err != nil {
			return nil, err
		}
	}
	err = fs.WalkDir(root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && !l.known[name] {
			f.Added = append(f.Added, name)
		}
		return err
	})
	slices.Sort(f.Added)
	return f, err
}

// loader reads the files of a record and compares each with it.
type loader struct {
	root       *os.Root
	signed     bool
	wasChanged string
	known      map[string]bool // names that the record lists, and its own
	total      int64           // bytes so far
	frozen     *Frozen
}

// record reads the record. If it cannot be trusted, it is left nil and a Change says
// why.
func (l *loader) record() error {
	data, what, err := readFile(l.root, record.RecordName, record.MaxBytes)
	if err != nil {
		return err
	}
	if what == "" && !record.Sealed(data) || what == tooLarge {
		what = l.wasChanged
	}
	if what != "" {
		l.frozen.Changed = append(l.frozen.Changed, Change{record.RecordName, what})
		return nil
	}
	l.frozen.Raw = data
	l.frozen.Record, err = record.Parse(data)
	if err != nil {
		return fmt.Errorf("%w; a newer mahlstick may have written it", err)
	}
	return nil
}

// file reads one file, which the record lists, under its name in the folder.
func (l *loader) file(listed record.File, name string, into Files) error {
	if !fs.ValidPath(name) || l.known[name] {
		return fmt.Errorf("%s lists the file %q twice, or it is not a valid name", record.RecordName, name)
	}
	l.known[name] = true
	if l.total += int64(listed.Size); listed.Size < 0 || l.total > MaxBytes {
		return fmt.Errorf("%s lists files of more than %d MB", record.RecordName, MaxBytes>>20)
	}
	limit := int64(listed.Size)
	if !l.signed {
		limit = max(limit, maxChangedBytes)
	}
	data, what, err := readFile(l.root, name, limit)
	if err != nil {
		return err
	}
	if l.total += max(0, int64(len(data)-listed.Size)); l.total > MaxBytes {
		what, data = tooLarge, nil
	}
	if what == "" && record.Hash(data) != listed.SHA256 || what == tooLarge {
		what = l.wasChanged
	}
	if what == "" {
		into[listed.Name] = data
		return nil
	}
	l.frozen.Changed = append(l.frozen.Changed, Change{name, what})
	if data != nil && name == listed.Name {
		l.frozen.ChangedOutputs[name] = data
	}
	return nil
}

// maxChangedBytes bounds an output that was changed after a run, in bytes.
const maxChangedBytes = 64 << 20

const tooLarge = "is larger than it can be"

// readFile reads a file of at most limit bytes. what says why it cannot be the file
// that was signed, or is "".
func readFile(root *os.Root, name string, limit int64) (data []byte, what string, err error) {
	// A link or a file may have replaced a folder above it.
	for up := path.Dir(name); up != "."; up = path.Dir(up) {
		if info, err := root.Lstat(up); err == nil && !info.IsDir() {
			return nil, "is missing: " + up + " is no longer a folder", nil
		}
	}
	info, err := root.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, "is missing", nil
	case err != nil:
		return nil, "", err
	case !info.Mode().IsRegular():
		return nil, "is no longer a file", nil
	case info.Size() > limit:
		return nil, tooLarge, nil
	}
	file, err := root.Open(name)
	if err != nil {
		return nil, "", err
	}
	data, err = io.ReadAll(io.LimitReader(file, limit+1))
	if err == nil && int64(len(data)) > limit {
		data, what = nil, tooLarge
	}
	return data, what, errors.Join(err, file.Close())
}
