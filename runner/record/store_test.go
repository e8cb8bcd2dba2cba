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

	"mahlstick/runner/record/faults"
)

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
				clean := studio(t)
				before := tree(t, clean.Dir)
				if err := put(clean, 2); err != nil {
					t.Fatal(err)
				}
				after := tree(t, clean.Dir)
				for at := 0; ; at++ {
					s := studio(t)
					f := &faults.Faulty{Disk: System, At: at, Dead: dead}
					if noExchange {
						f.NoExchange = ErrNoExchange
					}
					broken := s
					broken.Disk = f
					err := put(broken, 2)
					if f.N <= at {
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
		f := &faults.Faulty{Disk: System, At: at, Dead: true}
		broken := s
		broken.Disk = f
		err := put(broken, 1)
		if f.N <= at {
			break
		}
		if err == nil && f.N > at+1 {
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

// What is in the making may have been put there by somebody who wants more.
func TestHostileLogbook(t *testing.T) {
	s := studio(t)
	outside := filepath.Join(filepath.Dir(s.Dir), "outside")
	mkdir := func(names ...string) {
		t.Helper()
		for _, n := range names {
			if err := os.MkdirAll(n, 0o755); err != nil {
				t.Fatal(err)
			}
		}
	}
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	mkdir(outside)
	write(filepath.Join(outside, "mine.txt"), "mine")
	before := tree(t, filepath.Dir(s.Dir))

	// A journal for a job that is no job.
	for _, name := range []string{"..%2foutside", "..%2F..%2foutside", "pond%2f..%2f..%2foutside", "%2e%2e%2foutside", "pond%2fimpressions%2f01"} {
		mkdir(filepath.Join(s.Dir, works, name+".new"))
		write(filepath.Join(s.Dir, works, name+".journal"), "")
		if err := s.Recover(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := tree(t, filepath.Dir(s.Dir)); got != before {
			t.Fatalf("%s: something moved:\n%s", name, got)
		}
	}

	// A record that calls an impression an output of the run.
	forged := &Record{Engine: Engine, Outputs: []File{NewFile("impressions/01/record.json", []byte("frozen")), NewFile("impressions/01/photo.jpg", []byte("photo"))}}
	write(filepath.Join(s.Folder("pond"), RecordName), string(forged.JSON()))
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"record.json", "photo.jpg"} {
		if !exists(filepath.Join(s.Folder("pond"), "impressions", "01", name)) {
			t.Errorf("impressions/01/%s is lost", name)
		}
	}

	// Links in the place of folders.
	for _, link := range []string{"pond", works, ""} {
		s := studio(t)
		name := filepath.Join(s.Dir, link)
		if err := errors.Join(os.Rename(name, name+".was"), os.Symlink(outside, name)); err != nil {
			t.Fatal(err)
		}
		if err := put(s, 2); err == nil {
			t.Errorf("a run went through the link %q", link)
		}
	}
	if got := tree(t, outside); got != `mine.txt="mine"` {
		t.Errorf("a run wrote outside:\n%s", got)
	}

	// A link in the place of the lock.
	s = studio(t)
	lock := s.work("pond", ".lock")
	if err := errors.Join(os.Remove(lock), os.Symlink(filepath.Join(outside, "new"), lock)); err != nil {
		t.Fatal(err)
	}
	if err := put(s, 2); err == nil || exists(filepath.Join(outside, "new")) {
		t.Errorf("the lock was made outside: %v", err)
	}
}

func TestReserved(t *testing.T) {
	for job, want := range map[string]bool{
		"pond": false, "pond/study": false, "impression": false, "index": false, ".index.html": false,
		"impressions": true, "pond/impressions/01": true, "Impressions/x": true, ".mahlstick/x": true, "pond/index.html": true,
	} {
		if Reserved(job) != want {
			t.Errorf("Reserved(%q) is %v", job, !want)
		}
	}
	s := Store{Dir: t.TempDir(), Disk: System}
	if _, err := s.Lock("pond/impressions/01"); err == nil {
		t.Error("an impression can be locked as a job")
	}
}

// Jobs inside a job's folder: whoever takes the lock puts all of them right.
func TestRecoverNested(t *testing.T) {
	s := studio(t)
	l, err := s.Lock("pond/study")
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(l.Replace(result(1)), l.Unlock()); err != nil {
		t.Fatal(err)
	}
	// Killed between the two renames of a system without exchange.
	folder, fresh, old, journal := l.names()
	if err := errors.Join(System.Rename(folder, old), System.Make(fresh), System.Write(filepath.Join(fresh, "new.txt"), nil), System.Write(journal, nil)); err != nil {
		t.Fatal(err)
	}
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	if !exists(filepath.Join(folder, "new.txt")) || exists(old) || exists(journal) {
		t.Errorf("the inner job was not completed:\n%s", tree(t, s.Dir))
	}
}

func TestAdd(t *testing.T) {
	s := studio(t)
	before := tree(t, s.Dir)
	outs := []Output{{RecordName, []byte("r")}, {"inputs/pond/pond.md", []byte("m")}}
	add := func(s Store, name string) error {
		l, err := s.Lock("pond")
		if err != nil {
			return err
		}
		return errors.Join(l.Add(name, outs), l.Unlock())
	}
	for _, name := range []string{"impressions/01", "", ".", "..", "../x", "a/../b"} {
		if err := add(s, name); err == nil {
			t.Errorf("%q could be added", name)
		}
	}
	if got := tree(t, s.Dir); got != before {
		t.Fatalf("a refused folder left something behind:\n%s", got)
	}
	for at := 0; ; at++ {
		s := studio(t)
		f := &faults.Faulty{Disk: System, At: at, Dead: at%2 == 0}
		broken := s
		broken.Disk = f
		err := add(broken, "impressions/02")
		if f.N <= at {
			if err != nil {
				t.Fatal(err)
			}
			if at < 10 {
				t.Errorf("only %d operations", at)
			}
			break
		}
		got, _ := os.ReadDir(filepath.Join(s.Folder("pond"), "impressions", "02"))
		if len(got) != 0 && len(got) != 2 {
			t.Fatalf("operation %d: a part of a folder: %v", at, got)
		}
		if err == nil {
			t.Fatalf("operation %d failed without a word", at)
		}
		if err := s.Recover(); err != nil {
			t.Fatal(err)
		}
		if left, _ := os.ReadDir(filepath.Join(s.Dir, works)); len(left) > 2 {
			t.Fatalf("operation %d: left in the works: %v", at, left)
		}
		if err := add(s, "impressions/03"); err != nil {
			t.Fatalf("operation %d: the next one: %v", at, err)
		}
	}
}
