package record

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"mahlstick/runner/record/disk"
	"mahlstick/runner/record/faults"
)

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
	left, err := os.ReadDir(filepath.Join(s.Dir, workFolder))
	if err != nil {
		t.Fatal(err)
	}
	if len(left) != 2 { // .gitignore and the lock
		t.Errorf("left in the works: %v", left)
	}
}

// Every operation in turn fails, or is the last that the process does. Each
// file is then the old one or the new one, and no file of others is touched;
// with the next command all files are the old ones or all are the new ones, and
// that is what the error said.
func TestReplaceThroughFaults(t *testing.T) {
	for _, noExchange := range []bool{false, true} {
		for _, dead := range []bool{false, true} {
			t.Run(fmt.Sprintf("exchange=%v,dead=%v", !noExchange, dead), func(t *testing.T) {
				clean := studio(t)
				r := faultTrials{before: tree(t, clean.Dir)}
				if err := put(clean, 2); err != nil {
					t.Fatal(err)
				}
				r.after = tree(t, clean.Dir)
				for at := 0; r.one(t, &faults.Faulty{Disk: disk.System{}, At: at, Dead: dead, NoExchange: noExchange}); at++ {
				}
				t.Logf("%d operations: %d times the old result, %d times the new, %d times not at once", r.ops, r.olds, r.news, r.between)
				if r.ops < 15 || r.olds == 0 || r.news == 0 {
					t.Error("the faults did not reach both sides")
				}
			})
		}
	}
}

type faultTrials struct {
	before, after            string // of the whole logbook
	ops, olds, news, between int
}

// one is a run with a fault; false where the fault came too late.
func (r *faultTrials) one(t *testing.T, f *faults.Faulty) bool {
	t.Helper()
	s := studio(t)
	broken := s
	broken.Disk = f
	err := put(broken, 2)
	if f.N <= f.At {
		if err != nil {
			t.Fatal(err)
		}
		return false
	}
	r.ops++
	committed := errors.As(err, new(*PostCommitError))
	now := tree(t, s.Dir)
	switch {
	case now == r.before || now == r.after:
	case f.Dead || committed:
		r.between++
		r.eachOldOrNew(t, f.At, now, f.NoExchange)
	default:
		t.Fatalf("operation %d: the error says that nothing was written, and it is:\n%s", f.At, now)
	}
	// The next command takes the lock and puts things right.
	l, lerr := s.Lock("pond")
	if lerr != nil {
		t.Fatalf("operation %d: %v", f.At, lerr)
	}
	now = tree(t, s.Dir)
	switch now {
	case r.before:
		r.olds++
	case r.after:
		r.news++
	default:
		t.Fatalf("operation %d, after recovery: neither old nor new:\n%s", f.At, now)
	}
	if !f.Dead && committed != (now == r.after) {
		t.Fatalf("operation %d: the error says %v, and then there is\n%s", f.At, err, now)
	}
	_, err = l.Replace(result(2))
	if err := errors.Join(err, l.Unlock()); err != nil {
		t.Fatalf("operation %d: the run after: %v", f.At, err)
	}
	if got := tree(t, s.Dir); got != r.after {
		t.Fatalf("operation %d: the run after left\n%s", f.At, got)
	}
	return true
}

// eachOldOrNew wants each file of a logbook to be whole, and those that no run
// wrote to be there. Only a system without exchange may miss one for a moment.
func (r *faultTrials) eachOldOrNew(t *testing.T, at int, now string, mayMiss bool) {
	t.Helper()
	known := strings.Split(r.before+"\n"+r.after, "\n")
	names := map[string]bool{}
	for _, line := range strings.Split(now, "\n") {
		ok := false
		for _, k := range known {
			ok = ok || k == line
		}
		if !ok {
			t.Fatalf("operation %d: a file that is neither old nor new: %s", at, line)
		}
		name, _, _ := strings.Cut(line, "=")
		names[name] = true
	}
	for _, line := range strings.Split(r.before, "\n") {
		name, _, _ := strings.Cut(line, "=")
		if inBoth := strings.Contains(r.after, name+"="); inBoth && !names[name] && !(mayMiss && strings.HasPrefix(filepath.Base(name), "2-bird")) && !(mayMiss && strings.HasSuffix(name, "index.html")) {
			t.Fatalf("operation %d: %s is missing", at, name)
		}
	}
}

func TestFirstResultThroughFaults(t *testing.T) {
	for at := 0; ; at++ {
		s := Store{Dir: filepath.Join(quickDir(t), "logbook"), Disk: disk.System{}}
		f := &faults.Faulty{Disk: disk.System{}, At: at, Dead: at%2 == 0}
		broken := s
		broken.Disk = f
		err := put(broken, 1)
		if f.N <= at {
			break
		}
		if err == nil {
			t.Fatalf("operation %d failed without a word", at)
		}
		if committed := errors.As(err, new(*PostCommitError)); !f.Dead && !committed && disk.Exists(s.Folder("pond")) {
			t.Fatalf("operation %d: nothing was written, and the folder is there: %v", at, err)
		}
		if err := s.Recover(); err != nil {
			t.Fatal(err)
		}
		if entries, _ := os.ReadDir(s.Folder("pond")); len(entries) != 0 && len(entries) != 4 {
			t.Fatalf("operation %d: a part of a result: %v", at, entries)
		}
		if err := put(s, 1); err != nil {
			t.Fatalf("operation %d: the run after: %v", at, err)
		}
	}
}

func TestReplaceRefuses(t *testing.T) {
	s := Store{Dir: t.TempDir(), Disk: disk.System{}}
	l, err := s.Lock("pond")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Unlock()
	for _, name := range []string{"../x", "/x", "a/../b", ""} {
		if _, err := l.Replace(append(result(1), Output{Name: name})); err == nil {
			t.Errorf("an output could be called %q", name)
		}
	}
	if _, err := l.Replace([]Output{{"index.html", nil}}); err == nil {
		t.Error("a result without a record was taken")
	}
	if disk.Exists(s.Folder("pond")) {
		t.Error("a refused result left something behind")
	}
}

// A file is saved again and again, as editors do it, while runs replace the
// result around it. After each save the file is what was saved.
func TestSavedWhileReplaced(t *testing.T) {
	const runs = 200
	s := studio(t)
	var over atomic.Bool
	saves := make(chan int)
	for _, name := range []string{"note.txt", "sketches/plan.txt", "impressions/01/photo.jpg"} {
		file := filepath.Join(s.Folder("pond"), filepath.FromSlash(name))
		mkdir(t, filepath.Dir(file))
		go func() {
			n := 0
			for ; !over.Load(); n++ {
				if err := save(file, fmt.Sprint(n), n%2 == 0); err != nil {
					t.Errorf("%s, save %d: %v", name, n, err)
					break
				}
			}
			saves <- n
		}()
	}
	for n := range runs {
		if err := put(s, 2+n); err != nil {
			t.Error(err)
			break
		}
	}
	over.Store(true)
	for range 3 {
		n := <-saves
		t.Logf("%d saves during %d runs", n, runs)
		if n < runs {
			t.Errorf("only %d saves during %d runs", n, runs)
		}
	}
}

// save writes a file and reads it back: over the old one, or beside it under
// another name that then takes its place.
func save(file, text string, over bool) error {
	to := file
	if !over {
		to = file + "~"
	}
	err := os.WriteFile(to, []byte(text), 0o644)
	if err == nil && !over {
		err = os.Rename(to, file)
	}
	if err != nil {
		return err
	}
	got, err := os.ReadFile(file)
	if err == nil && string(got) != text {
		err = fmt.Errorf("it is %q again after %q was saved", got, text)
	}
	return err
}

// An output that was changed by hand is kept beside the new one, whenever it
// is changed: before the run, or between any two operations of the run.
func TestChangedByHand(t *testing.T) {
	for _, file := range []string{"2-bird.nc", "1-reeds.nc", "index.html"} { // the second is not in the new result
		for at := 0; changedAt(t, file, at); at++ {
		}
	}
}

// changedAt changes a file before an operation of a run; false where the run
// has fewer operations.
func changedAt(t *testing.T, file string, at int) bool {
	t.Helper()
	s := studio(t)
	mine := filepath.Join(s.Folder("pond"), file)
	text := fmt.Sprintf("mine at %d", at)
	f := &faults.Faulty{Disk: disk.System{}, At: -1}
	f.Before = func(n int) {
		if n == at {
			write(t, mine+"~", text)
			if err := os.Rename(mine+"~", mine); err != nil {
				t.Error(err)
			}
		}
	}
	changing := s
	changing.Disk = f
	kept := replaced(t, changing, 2)
	if f.N <= at {
		return false
	}
	as := file + changedSuffix
	switch now, _ := os.ReadFile(mine); {
	case string(now) == text && len(kept) == 0: // after it was replaced
	case len(kept) == 1 && kept[0] == (Kept{file, as}):
		if got, err := os.ReadFile(filepath.Join(s.Folder("pond"), as)); err != nil || string(got) != text {
			t.Errorf("%s at operation %d: kept is %q %v", file, at, got, err)
		}
	default:
		t.Errorf("%s at operation %d: kept %v:\n%s", file, at, kept, tree(t, s.Dir))
	}
	return true
}

func replaced(t *testing.T, s Store, n int) []Kept {
	t.Helper()
	l, err := s.Lock("pond")
	if err != nil {
		t.Fatal(err)
	}
	kept, err := l.Replace(result(n))
	if err := errors.Join(err, l.Unlock()); err != nil {
		t.Fatal(err)
	}
	return kept
}

// No file that is kept takes the place of another, the same text is kept once,
// and a record that was changed is kept too.
func TestChangedAgain(t *testing.T) {
	s := studio(t)
	at := func(name string) string { return filepath.Join(s.Folder("pond"), name) }
	for i, text := range []string{"one", "two", "two", "one"} {
		write(t, at("2-bird.nc"), text)
		want := []string{"2-bird.nc.changed", "2-bird.nc.changed-2", "2-bird.nc.changed-2", "2-bird.nc.changed"}[i]
		if kept := replaced(t, s, 2+i); len(kept) != 1 || kept[0].As != want {
			t.Errorf("%q: kept %v, want %s", text, kept, want)
		}
		if got, err := os.ReadFile(at(want)); err != nil || string(got) != text {
			t.Errorf("kept is %q %v", got, err)
		}
	}
	if kept := replaced(t, s, 7); len(kept) != 0 {
		t.Errorf("unchanged, and kept: %v", kept)
	}
	data, err := os.ReadFile(at(RecordName))
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(data), `"title": "7"`, `"title": "8"`, 1)
	if changed == string(data) {
		t.Fatal("no title")
	}
	write(t, at(RecordName), changed)
	if kept := replaced(t, s, 9); len(kept) != 1 || kept[0] != (Kept{RecordName, "record.json.changed"}) {
		t.Errorf("a changed record: kept %v", kept)
	}
	if got, err := os.ReadFile(at("record.json.changed")); err != nil || string(got) != changed {
		t.Errorf("kept is %q %v", got, err)
	}
	// What the old record cannot vouch for is not removed.
	write(t, at(RecordName), "torn")
	if kept := replaced(t, s, 9); len(kept) != 1 {
		t.Errorf("a record that cannot be read: kept %v", kept)
	}
}

// A folder with the name of an output is not moved.
func TestFolderInTheWay(t *testing.T) {
	s := studio(t)
	mkdir(t, filepath.Join(s.Folder("pond"), "2-reeds.nc", "in it"))
	before := tree(t, s.Dir)
	if err := put(s, 2); err == nil || errors.As(err, new(*PostCommitError)) || !strings.Contains(err.Error(), "2-reeds.nc is a folder, where a file must be written") {
		t.Errorf("%v", err)
	}
	if got := tree(t, s.Dir); got != before {
		t.Errorf("something moved:\n%s", got)
	}
}

// A run costs the same with one impression and with many, and so does signing.
func TestCostOfImpressions(t *testing.T) {
	cost := func(impressions int) (run, sign int) {
		s := studio(t)
		for n := range impressions {
			if err := add(s, fmt.Sprintf("impressions/%02d", 2+n)); err != nil {
				t.Fatal(err)
			}
		}
		count := func(do func(Store) error) int {
			f := &faults.Faulty{Disk: disk.System{}, At: -1}
			counting := s
			counting.Disk = f
			if err := do(counting); err != nil {
				t.Fatal(err)
			}
			return f.N
		}
		return count(func(s Store) error { return put(s, 2) }), count(func(s Store) error { return add(s, "impressions/99") })
	}
	run1, sign1 := cost(0)
	run62, sign62 := cost(61)
	t.Logf("operations on the disk with 1 impression: run %d, sign %d; with 62: run %d, sign %d", run1, sign1, run62, sign62)
	if run1 != run62 || sign1 != sign62 {
		t.Error("the cost grows with the number of impressions")
	}
}

// Jobs inside a job's folder: whoever takes the lock completes all of them.
func TestRecoverNested(t *testing.T) {
	s := studio(t)
	if err := putInner(s); err != nil {
		t.Fatal(err)
	}
	broken := s
	f := &faults.Faulty{Disk: disk.System{}, At: math.MaxInt, Dead: true}
	f.Before = func(n int) { // from the moment when the new result is whole
		if f.At == math.MaxInt && disk.Exists(s.workPath("pond/study", nextSuffix)) {
			f.At = n + 2
		}
	}
	broken.Disk = f
	if err := os.Remove(filepath.Join(s.Folder("pond/study"), "2-bird.nc")); err != nil {
		t.Fatal(err)
	}
	if err := putInner(broken); err == nil {
		t.Fatal("no fault")
	}
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	if !disk.Exists(filepath.Join(s.Folder("pond/study"), "2-bird.nc")) || disk.Exists(s.workPath("pond/study", nextSuffix)) {
		t.Errorf("the inner job was not completed:\n%s", tree(t, s.Dir))
	}
}

func putInner(s Store) error {
	l, err := s.Lock("pond/study")
	if err != nil {
		return err
	}
	_, err = l.Replace(result(1))
	return errors.Join(err, l.Unlock())
}
