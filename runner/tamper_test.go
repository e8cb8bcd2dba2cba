package runner_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// One byte changed in any frozen input or output is found and named, wherever
// in the file it is; so is a byte more, a byte less, and a file that is gone.
func TestTampering(t *testing.T) {
	for _, c := range []struct {
		name, job string
		studio    func(testing.TB) (dir, recipe string)
		despite   bool
	}{{"pond", "pond", pond, false}, {"heron", "heron", heron, false}, {"pond, signed despite", "pond", pond, true}} {
		t.Run(c.name, func(t *testing.T) {
			dir, recipe := c.studio(t)
			if c.despite {
				mustSignDespite(t, recipe)
			} else {
				mustSign(t, recipe, 1)
			}
			s := signed{logbook: filepath.Join(dir, "logbook"), id: impression.ID{Job: c.job, Number: 1}}
			if r := runner.RepeatOne(s.logbook, s.id, 0); r.Err != nil || r.Tampered() || r.Differs() || r.Comparison.Page != impression.Exact {
				t.Fatalf("it does not come out again: %+v", r)
			}
			frozen := list(t, s.folder(), nil)
			for file, data := range frozen {
				s.tamper(t, file, data)
			}
			if len(frozen) < 12 || s.changes < 10*len(frozen) {
				t.Errorf("%d files, %d changes", len(frozen), s.changes)
			}
			t.Logf("%d changes in %d frozen files, each found and named", s.changes, len(frozen))
		})
	}
}

// signed is an impression that is tampered with.
type signed struct {
	logbook string
	id      impression.ID
	changes int
}

func (s *signed) folder() string { return filepath.Join(s.logbook, filepath.FromSlash(s.id.Folder())) }

// load finds changes by reading the impression, repeat by evaluating it.
func (s *signed) load(t *testing.T) []impression.Change {
	f, err := impression.Load(s.folder())
	if err != nil {
		t.Fatal(err)
	}
	return f.Changed
}

func (s *signed) repeat(t *testing.T) []impression.Change {
	r := runner.RepeatOne(s.logbook, s.id, 0)
	if r.Err != nil || !r.Tampered() {
		t.Fatalf("not found to be tampered with: %+v", r)
	}
	return r.Frozen.Changed
}

// tamper changes one file in every way and puts it back.
func (s *signed) tamper(t *testing.T, file, data string) {
	t.Helper()
	full := filepath.Join(s.folder(), filepath.FromSlash(file))
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	write := func(data string) {
		t.Helper()
		must(os.WriteFile(full, []byte(data), 0o644))
	}
	check := func(what string, changed func(*testing.T) []impression.Change) {
		t.Helper()
		s.changes++
		if got := changed(t); len(got) != 1 || got[0].Name != file {
			t.Errorf("%s, %s: found %v", file, what, got)
		}
	}
	for _, at := range []int{0, 1, len(data) / 3, len(data) / 2, len(data) - 2, len(data) - 1} {
		flipped := []byte(data)
		flipped[at] ^= 1
		write(string(flipped))
		check(fmt.Sprintf("byte %d", at), s.load)
	}
	if s.id.Job == "pond" { // the whole way through, too
		check("by repeat", s.repeat)
	}
	write(data + "\n")
	check("a byte more", s.load)
	write(data[:len(data)-1])
	check("a byte less", s.load)
	write("")
	check("emptied", s.load)
	must(os.Remove(full))
	check("gone", s.load)
	must(os.Mkdir(full, 0o755))
	check("a folder", s.load)
	must(os.Remove(full))
	write(data)
}

// A link or a file in the place of a frozen folder is tampering, too, and
// nothing is read through it, though the same files stand behind it.
func TestTamperedFolders(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 1)
	logbook := filepath.Join(studio, "logbook")
	id := impression.ID{Job: "pond", Number: 1}
	inputs := filepath.Join(logbook, filepath.FromSlash(id.Folder()), impression.Inputs)
	for _, at := range []string{inputs, filepath.Join(inputs, "pond")} {
		aside := filepath.Join(studio, "aside")
		if err := os.Rename(at, aside); err != nil {
			t.Fatal(err)
		}
		for what, put := range map[string]func() error{
			"a link out": func() error { return os.Symlink(aside, at) },
			"a file":     func() error { return os.WriteFile(at, nil, 0o644) },
		} {
			if err := put(); err != nil {
				t.Fatal(err)
			}
			r := runner.RepeatOne(logbook, id, 0)
			if r.Err != nil || !r.Tampered() || r.Comparison != nil || len(r.Frozen.Changed) < 3 {
				t.Errorf("%s in the place of %s: %+v", what, filepath.Base(at), r)
			}
			if err := os.Remove(at); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Rename(aside, at); err != nil {
			t.Fatal(err)
		}
		if r := runner.RepeatOne(logbook, id, 0); r.Err != nil || r.Tampered() || r.Differs() {
			t.Errorf("put back, it is not as it was: %+v", r)
		}
	}
}

// An impression that was put in the place of another is whole, and is not what
// was signed there.
func TestMisplaced(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 3)
	impressions := filepath.Join(studio, "logbook", "pond", "impressions")
	at := func(n int) string { return filepath.Join(impressions, impression.Name(n)) }
	if err := errors.Join(os.RemoveAll(at(2)), os.CopyFS(at(2), os.DirFS(at(1)))); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.RemoveAll(at(3)), os.CopyFS(at(3), os.DirFS(at(1)))); err != nil {
		t.Fatal(err)
	}
	// Nor is a run that nobody signed.
	unsigned, err := os.ReadFile(filepath.Join(studio, "logbook", "pond", record.RecordName))
	if err == nil {
		err = os.WriteFile(filepath.Join(at(3), record.RecordName), unsigned, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range []string{1: "", 2: "pond/01", 3: "a run that was not signed"} {
		if n == 0 {
			continue
		}
		r := runner.RepeatOne(filepath.Join(studio, "logbook"), impression.ID{Job: "pond", Number: n}, 0)
		if r.Err != nil || r.Misplaced() != want || r.Tampered() != (n > 1) {
			t.Errorf("impression %d: misplaced %q, tampered %v: %v", n, r.Misplaced(), r.Tampered(), r.Err)
		}
	}
}

// The record alone holds the rest: no byte of it can change.
func TestEveryByteOfARecord(t *testing.T) {
	_, recipe := pond(t)
	data := mustRun(t, recipe, runner.Options{}).Record.JSON()
	if !record.Sealed(data) {
		t.Fatal("a record is not sealed")
	}
	for i := range data {
		for _, bit := range []byte{1, 0x20, 0x80} {
			data[i] ^= bit
			if record.Sealed(data) {
				t.Fatalf("bit %#x of byte %d can change", bit, i)
			}
			data[i] ^= bit
		}
	}
}
