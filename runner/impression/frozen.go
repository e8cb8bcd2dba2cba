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

// Frozen is an impression as it stands on the disk.
type Frozen struct {
	Record  *record.Record // nil where it cannot be trusted
	Raw     []byte         // of the record
	Inputs  Files          // that stand as they were read
	Outputs Files          // that stand as they were signed
	// Changed are the files that do not stand as they were signed.
	Changed []Change
	// Altered are the texts of changed outputs as they stand now.
	Altered Files
	// Added are files that nobody signed. They count for nothing.
	Added []string
}

// Change is a file that does not stand as it was signed.
type Change struct {
	Name string // below the impression's folder
	What string // "was changed", "is missing"
}

func (c Change) String() string { return c.Name + " " + c.What }

// Whole says whether every file stands as it was signed.
func (f *Frozen) Whole() bool { return len(f.Changed) == 0 }

// Load reads an impression's folder, each file once, and holds each against
// the record. An error is about the disk or about a record that another
// mahlstick wrote.
func Load(dir string) (*Frozen, error) { return load(dir, true) }

// LoadRun reads what a run left in the job's folder; its inputs stand in the
// studio and are not read. Outputs that somebody changed are, up to 64 MB each.
func LoadRun(dir string) (*Frozen, error) { return load(dir, false) }

func load(dir string, signed bool) (*Frozen, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	f := &Frozen{Inputs: Files{}, Outputs: Files{}, Altered: Files{}}
	wasChanged := "was changed after it was signed"
	if !signed {
		wasChanged = "was changed after it was made"
	}
	data, what, err := readFile(root, record.RecordName, record.MaxBytes)
	if err != nil {
		return nil, err
	}
	if what == "" && !record.Sealed(data) || what == tooLarge {
		what = wasChanged
	}
	if what != "" {
		f.Changed = append(f.Changed, Change{record.RecordName, what})
		return f, nil
	}
	f.Raw = data
	f.Record, err = record.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("%w; a newer mahlstick may have written it", err)
	}
	known := map[string]bool{record.RecordName: true}
	var total int64
	take := func(file record.File, name string, into Files) error {
		if !fs.ValidPath(name) || known[name] {
			return fmt.Errorf("%s names the file %q, which cannot be", record.RecordName, name)
		}
		known[name] = true
		if total += int64(file.Size); file.Size < 0 || total > MaxBytes {
			return fmt.Errorf("%s names files of more than %d MB", record.RecordName, MaxBytes>>20)
		}
		limit := int64(file.Size)
		if !signed {
			limit = max(limit, mostAltered)
		}
		data, what, err := readFile(root, name, limit)
		if err != nil {
			return err
		}
		if total += max(0, int64(len(data)-file.Size)); total > MaxBytes {
			what, data = tooLarge, nil
		}
		if what == "" && record.Hash(data) != file.SHA256 || what == tooLarge {
			what = wasChanged
		}
		if what != "" {
			f.Changed = append(f.Changed, Change{name, what})
			if data != nil && name == file.Name {
				f.Altered[name] = data
			}
			return nil
		}
		into[file.Name] = data
		return nil
	}
	for _, out := range f.Record.Outputs {
		if err := take(out, out.Name, f.Outputs); err != nil {
			return nil, err
		}
	}
	if !signed {
		return f, nil
	}
	for _, in := range f.Record.Inputs {
		if err := take(in, path.Join(Inputs, in.Name), f.Inputs); err != nil {
			return nil, err
		}
	}
	err = fs.WalkDir(root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && !known[name] {
			f.Added = append(f.Added, name)
		}
		return err
	})
	slices.Sort(f.Added)
	return f, err
}

// mostAltered bounds an output that was changed after a run, in bytes.
const mostAltered = 64 << 20

const tooLarge = "is larger than it can be"

// readFile reads a file of at most limit bytes. what says why it cannot be the
// file that was signed.
func readFile(root *os.Root, name string, limit int64) (data []byte, what string, err error) {
	// A link or a file may stand in the place of a folder on the way.
	for up := path.Dir(name); up != "."; up = path.Dir(up) {
		if info, err := root.Lstat(up); err == nil && !info.IsDir() {
			return nil, "is missing, since " + up + " is no longer a folder", nil
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
