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

	"mahlstick/runner/record/disk"
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
			if e != nil && e.Name() == workFolder {
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
	_, err = l.Replace(result(n))
	return errors.Join(err, l.Unlock())
}

// studio is a logbook with a first result, an impression and a stray note.
func studio(t *testing.T) Store {
	t.Helper()
	s := Store{Dir: filepath.Join(quickDir(t), "logbook"), Disk: disk.System{}}
	if err := put(s, 1); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"impressions/01/record.json": "frozen", "impressions/01/photo.jpg": "photo", "note.txt": "mine"} {
		full := filepath.Join(s.Dir, "pond", filepath.FromSlash(name))
		mkdir(t, filepath.Dir(full))
		write(t, full, text)
	}
	return s
}

// quickDir is a folder of the test's own, in memory where there is such a
// place: waiting for a medium takes long there.
func quickDir(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "mahlstick")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

func mkdir(t testing.TB, dir string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
}

func write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// Unfinished work may have been put there by somebody else on purpose.
func TestHostileLogbook(t *testing.T) {
	s := studio(t)
	outside := filepath.Join(filepath.Dir(s.Dir), "outside")
	mkdir(t, outside)
	write(t, filepath.Join(outside, "mine.txt"), "mine")
	before := tree(t, filepath.Dir(s.Dir))

	// A result for a job that is none.
	forged := &Record{Engine: Engine, Outputs: []File{NewFile("new.txt", nil)}}
	for _, name := range []string{"..%2foutside", "..%2F..%2foutside", "pond%2f..%2f..%2foutside", "%2e%2e%2foutside", "pond%2fimpressions%2f01"} {
		next := filepath.Join(s.Dir, workFolder, name+nextSuffix)
		mkdir(t, next)
		write(t, filepath.Join(next, RecordName), string(forged.JSON()))
		write(t, filepath.Join(next, "new.txt"), "")
		if err := s.Recover(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := tree(t, filepath.Dir(s.Dir)); got != before {
			t.Fatalf("%s: something moved:\n%s", name, got)
		}
	}

	// One behind a link, and one that has a file in the place of impressions.
	next := s.workPath("pond", nextSuffix)
	if err := os.Symlink(outside, next); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(outside, RecordName), string((&Record{Outputs: []File{NewFile("mine.txt", []byte("mine"))}}).JSON()))
	if err := s.Recover(); err != nil || !disk.Exists(filepath.Join(outside, "mine.txt")) || disk.Exists(filepath.Join(s.Folder("pond"), "mine.txt")) {
		t.Errorf("something came in over a link: %v", err)
	}
	if err := os.Remove(filepath.Join(outside, RecordName)); err != nil {
		t.Fatal(err)
	}
	mkdir(t, next)
	write(t, filepath.Join(next, RecordName), string((&Record{Outputs: []File{NewFile(Impressions, []byte("x"))}}).JSON()))
	write(t, filepath.Join(next, Impressions), "x")
	if err := s.Recover(); err == nil {
		t.Error("a file took the place of the impressions")
	}
	if err := os.RemoveAll(next); err != nil {
		t.Fatal(err)
	}
	if got := tree(t, filepath.Dir(s.Dir)); got != before {
		t.Fatalf("something moved:\n%s", got)
	}

	// A record that calls an impression an output of the run.
	forged = &Record{Engine: Engine, Outputs: []File{NewFile("impressions/01/record.json", []byte("frozen")), NewFile("impressions/01/photo.jpg", []byte("photo"))}}
	write(t, filepath.Join(s.Folder("pond"), RecordName), string(forged.JSON()))
	if err := put(s, 2); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"record.json", "photo.jpg"} {
		if !disk.Exists(filepath.Join(s.Folder("pond"), "impressions", "01", name)) {
			t.Errorf("impressions/01/%s is lost", name)
		}
	}
}

func TestHostileLinks(t *testing.T) {
	outside := quickDir(t)
	write(t, filepath.Join(outside, "mine.txt"), "mine")

	// Links in the place of folders.
	for _, link := range []string{"pond", workFolder, ""} {
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
	s := studio(t)
	lock := s.workPath("pond", ".lock")
	if err := errors.Join(os.Remove(lock), os.Symlink(filepath.Join(outside, "new"), lock)); err != nil {
		t.Fatal(err)
	}
	if err := put(s, 2); err == nil || disk.Exists(filepath.Join(outside, "new")) {
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
	s := Store{Dir: t.TempDir(), Disk: disk.System{}}
	if _, err := s.Lock("pond/impressions/01"); err == nil {
		t.Error("an impression can be locked as a job")
	}
}

// What a killed process left is removed also where the next one has nothing to write.
func TestSharedLeftover(t *testing.T) {
	s := Store{Dir: t.TempDir(), Disk: disk.System{}}
	if err := s.WriteShared("index.html", []byte("page")); err != nil {
		t.Fatal(err)
	}
	left := s.workPath(".index.html", ".file")
	if err := os.WriteFile(left, []byte("another page"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.WriteShared("index.html", []byte("page")); err != nil {
		t.Fatal(err)
	}
	if disk.Exists(left) {
		t.Error("it is still there")
	}
}
