package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
)

// faulty fails the operation with number at, counted from 0. One that is
// dead fails all that follow too, as if the process had been killed.
type faulty struct {
	Disk
	n, at      int
	dead       bool
	noExchange bool
}

var errPlanted = errors.New("planted fault")

func (f *faulty) step() error {
	f.n++
	if f.n-1 == f.at || f.dead && f.n-1 > f.at && f.at >= 0 {
		return errPlanted
	}
	return nil
}

func (f *faulty) Make(dir string) error {
	return first(f.step, func() error { return f.Disk.Make(dir) })
}
func (f *faulty) Link(a, b string) error {
	return first(f.step, func() error { return f.Disk.Link(a, b) })
}
func (f *faulty) Rename(a, b string) error {
	return first(f.step, func() error { return f.Disk.Rename(a, b) })
}
func (f *faulty) Remove(a string) error {
	return first(f.step, func() error { return f.Disk.Remove(a) })
}
func (f *faulty) Sync(a string) error { return first(f.step, func() error { return f.Disk.Sync(a) }) }
func (f *faulty) Write(a string, data []byte) error {
	if err := f.step(); err != nil {
		// A full disk leaves part of the file behind.
		f.Disk.Write(a, data[:len(data)/2])
		return err
	}
	return f.Disk.Write(a, data)
}

func (f *faulty) Exchange(a, b string) error {
	if f.noExchange {
		return ErrNoExchange
	}
	return first(f.step, func() error { return f.Disk.Exchange(a, b) })
}

func first(a, b func() error) error {
	if err := a(); err != nil {
		return err
	}
	return b()
}

func result(n int) []Output {
	outs := []Output{
		{"index.html", fmt.Appendf(nil, "page %d", n)},
		{fmt.Sprintf("%d-reeds.nc", n), fmt.Appendf(nil, "program %d", n)},
		{"2-bird.nc", fmt.Appendf(nil, "bird %d", n)},
	}
	r := &Record{Engine: Engine, Job: "pond", Title: fmt.Sprint(n)}
	for _, o := range outs {
		r.Outputs = append(r.Outputs, NewFile(o.Name, o.Data))
	}
	return append(outs, Output{RecordName, r.JSON()})
}

// tree lists a folder's files and their content, works left out.
func tree(t *testing.T, dir string) string {
	t.Helper()
	var lines []string
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if e != nil && e.Name() == works {
				return fs.SkipDir
			}
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(dir, name)
		lines = append(lines, fmt.Sprintf("%s=%q", filepath.ToSlash(rel), data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(lines)
	return strings.Join(lines, "\n")
}

func put(s Store, n int) error {
	l, err := s.Lock("pond")
	if err != nil {
		return err
	}
	return errors.Join(l.Replace(result(n)), l.Unlock())
}

// studio is a logbook with a first result, an impression and a stray note.
func studio(t *testing.T) Store {
	t.Helper()
	s := Store{Dir: filepath.Join(t.TempDir(), "logbook"), Disk: System}
	if err := put(s, 1); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"impressions/01/record.json": "frozen", "impressions/01/photo.jpg": "photo", "note.txt": "mine"} {
		full := filepath.Join(s.Dir, "pond", filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func TestReplace(t *testing.T) {
	s := studio(t)
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	got := tree(t, s.Dir)
	for _, want := range []string{"2-reeds.nc", `"page 2"`, "photo.jpg", "note.txt", `impressions/01/record.json="frozen"`} {
		if !strings.Contains(got, want) {
			t.Errorf("after the second run %s is missing:\n%s", want, got)
		}
	}
	if strings.Contains(got, "1-reeds.nc") {
		t.Errorf("a file of the first result is left:\n%s", got)
	}
	left, err := os.ReadDir(filepath.Join(s.Dir, works))
	if err != nil {
		t.Fatal(err)
	}
	if len(left) != 2 { // .gitignore and the lock
		t.Errorf("left in the works: %v", left)
	}
}

// Every operation in turn fails, or is the last that the process does. What
// a reader sees then is the old result or the new one, and the impression is
// there; the next run completes or undoes, and the one after that succeeds.
func TestReplaceThroughFaults(t *testing.T) {
	for _, noExchange := range []bool{false, true} {
		for _, dead := range []bool{false, true} {
			t.Run(fmt.Sprintf("journal=%v,dead=%v", noExchange, dead), func(t *testing.T) {
				ops, olds, news := 0, 0, 0
				for at := 0; ; at++ {
					s := studio(t)
					before := tree(t, s.Dir)
					clean := studio(t)
					if err := put(clean, 2); err != nil {
						t.Fatal(err)
					}
					after := tree(t, clean.Dir)
					f := &faulty{Disk: System, at: at, dead: dead, noExchange: noExchange}
					broken := s
					broken.Disk = f
					err := put(broken, 2)
					if f.n <= at {
						if err != nil {
							t.Fatal(err)
						}
						break
					}
					ops++
					if !noExchange {
						if got := tree(t, s.Dir); got != before && got != after {
							t.Fatalf("operation %d: neither old nor new:\n%s", at, got)
						}
					}
					// The next command takes the lock and puts things right.
					l, err := s.Lock("pond")
					if err != nil {
						t.Fatalf("operation %d: %v", at, err)
					}
					switch got := tree(t, s.Dir); got {
					case before:
						olds++
					case after:
						news++
					default:
						t.Fatalf("operation %d, after recovery: neither old nor new:\n%s", at, got)
					}
					if err := errors.Join(l.Replace(result(2)), l.Unlock()); err != nil {
						t.Fatalf("operation %d: the run after: %v", at, err)
					}
					if got := tree(t, s.Dir); got != after {
						t.Fatalf("operation %d: the run after left\n%s", at, got)
					}
				}
				t.Logf("%d operations: %d times the old result, %d times the new", ops, olds, news)
				if ops < 15 || olds == 0 || news == 0 {
					t.Errorf("the faults did not reach both sides of the exchange: %d operations, %d old, %d new", ops, olds, news)
				}
			})
		}
	}
}

func TestFirstResultThroughFaults(t *testing.T) {
	for at := 0; ; at++ {
		s := Store{Dir: filepath.Join(t.TempDir(), "logbook"), Disk: System}
		f := &faulty{Disk: System, at: at, dead: true}
		broken := s
		broken.Disk = f
		err := put(broken, 1)
		if f.n <= at {
			break
		}
		if err == nil && f.n > at+1 {
			t.Fatalf("operation %d failed without a word", at)
		}
		if entries, _ := os.ReadDir(s.Folder("pond")); len(entries) != 0 && len(entries) != 4 {
			t.Fatalf("operation %d: a part of a result: %v", at, entries)
		}
		if err := put(s, 1); err != nil {
			t.Fatalf("operation %d: the run after: %v", at, err)
		}
	}
}

func TestLockIsExclusive(t *testing.T) {
	s := Store{Dir: t.TempDir(), Disk: System}
	l, err := s.Lock("pond")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Lock("pond/study"); !errors.Is(err, ErrLocked) {
		t.Errorf("a job inside another's folder could be locked too: %v", err)
	}
	if other, err := s.Lock("heron"); err != nil {
		t.Errorf("another job could not be locked: %v", err)
	} else {
		other.Unlock()
	}
	if err := l.Unlock(); err != nil {
		t.Fatal(err)
	}
	if l, err = s.Lock("pond/study"); err != nil {
		t.Errorf("the lock outlives its holder: %v", err)
	} else {
		l.Unlock()
	}
}

func TestRescue(t *testing.T) {
	s := studio(t)
	// A file that somebody put into the old folder while it was replaced.
	f := s.work("pond", ".new")
	if err := errors.Join(os.MkdirAll(f, 0o755), os.WriteFile(filepath.Join(f, RecordName), (&Record{}).JSON(), 0o644), os.WriteFile(filepath.Join(f, "late.txt"), []byte("late"), 0o644)); err != nil {
		t.Fatal(err)
	}
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(filepath.Join(s.Folder("pond"), "late.txt")); string(got) != "late" {
		t.Errorf("the late file is gone: %v", err)
	}
}

func TestReplaceRefuses(t *testing.T) {
	s := Store{Dir: t.TempDir(), Disk: System}
	l, err := s.Lock("pond")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Unlock()
	for _, name := range []string{"../x", "/x", "a/../b", ""} {
		if err := l.Replace(append(result(1), Output{Name: name})); err == nil {
			t.Errorf("an output could be called %q", name)
		}
	}
	if err := l.Replace([]Output{{"index.html", nil}}); err == nil {
		t.Error("a result without a record was taken")
	}
	if exists(s.Folder("pond")) {
		t.Error("a refused result left something behind")
	}
}
