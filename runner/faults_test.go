package runner_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
	"mahlstick/runner/record/disk"
	"mahlstick/runner/record/faults"
)

// Between any two operations of a run and of a signing on the demo the process
// is killed, or the operation fails and the process goes on. Each file is then
// the old one or the new one, and no impression is ever lost; after the next
// command the whole result is the old one or the new one.
func TestDemoThroughFaults(t *testing.T) {
	d := newFaultyDemo(t)
	both := []bool{true, false}
	for _, k := range []faultyCommand{
		{"run", both, func(s record.Store) error { _, err := d.fresh.Write(s); return err }},
		{"sign", both[:1], func(s record.Store) error { _, _, err := d.fresh.Sign(s, ""); return err }}, // exchanges nothing
	} {
		wanted := d.prepare(t, k.name)
		if err := k.do(wanted); err != nil {
			t.Fatal(err)
		}
		oldJob, newJob := d.job(t, d.template), d.job(t, wanted.Dir)
		for _, exchange := range k.exchange {
			for _, dead := range both {
				t.Run(fmt.Sprintf("%s,dead=%v,exchange=%v", k.name, dead, exchange), func(t *testing.T) {
					d.failAtEach(t, k, faults.Faulty{Dead: dead, NoExchange: !exchange}, oldJob, newJob)
				})
			}
		}
	}
}

// faultyCommand is what goes wrong, on systems that can exchange files or
// cannot.
type faultyCommand struct {
	name     string
	exchange []bool
	do       func(record.Store) error
}

// failAtEach lets the command fail at each of its operations in turn.
func (d *faultyDemo) failAtEach(t *testing.T, k faultyCommand, fault faults.Faulty, oldJob, newJob map[string]string) {
	ops, olds, news := 0, 0, 0
	for at := 0; ; at++ {
		store := d.prepare(t, fmt.Sprint(t.Name(), at))
		f := fault
		f.Disk, f.At = disk.System{}, at
		broken := store
		broken.Disk = &f
		err := k.do(broken)
		if f.N <= at {
			if err != nil {
				t.Fatal(err)
			}
			break
		}
		ops++
		if d.after(t, at, store, err, &f, oldJob, newJob) {
			news++
		} else {
			olds++
		}
	}
	t.Logf("%d operations, %d times the old state, %d times the new", ops, olds, news)
	if ops < 20 || olds == 0 || news == 0 {
		t.Errorf("the faults did not reach both sides: %d operations, %d old, %d new", ops, olds, news)
	}
}

// faultyDemo is the demo's logbook with an impression, and a result whose page
// and record are new.
type faultyDemo struct {
	clean    string // the folder of all trials
	template string // the logbook as it was
	before   map[string]string
	known    map[string]fs.FileInfo
	fresh    *runner.Result
}

func newFaultyDemo(t *testing.T) *faultyDemo {
	t.Helper()
	studio, recipe := heron(t)
	old := mustSign(t, recipe, 1)
	d := &faultyDemo{clean: quickDir(t), template: filepath.Join(studio, "logbook"), known: map[string]fs.FileInfo{}}
	d.before = list(t, d.template, nil)
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	// Prose moves the page and the record, and makes no run out of date.
	if err := os.WriteFile(recipe, append(text, "\nA word more.\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	d.fresh = mustRun(t, recipe, runner.Options{})
	for _, o := range []string{record.RecordName, "index.html"} {
		if output(old, o) == output(d.fresh, o) {
			t.Fatalf("%s does not move", o)
		}
	}
	for name := range d.before {
		info, err := os.Lstat(filepath.Join(d.template, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		d.known[name] = info
	}
	return d
}

// prepare lays out the logbook as it was. Second names of the files do for
// copies: a store only ever writes new files.
func (d *faultyDemo) prepare(t *testing.T, name string) record.Store {
	t.Helper()
	dir := filepath.Join(d.clean, name, "logbook")
	for name := range d.before {
		to := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(to), 0o755), os.Link(filepath.Join(d.template, filepath.FromSlash(name)), to)); err != nil {
			t.Fatal(err)
		}
	}
	return record.Store{Dir: dir, Disk: disk.System{}}
}

// job lists the files of the job. One that is still the old file need not be
// read to know it.
func (d *faultyDemo) job(t *testing.T, dir string) map[string]string {
	t.Helper()
	return list(t, dir, func(name string, info fs.FileInfo) (string, bool) {
		switch {
		case !strings.HasPrefix(name, "heron/"):
			return "", true // the index belongs to no job
		case d.known[name] != nil && os.SameFile(d.known[name], info):
			return d.before[name], true
		}
		return "", false
	})
}

// after looks at what the fault at an operation left, lets the next command put
// it right, and answers whether the new state stands then.
func (d *faultyDemo) after(t *testing.T, at int, store record.Store, err error, f *faults.Faulty, oldJob, newJob map[string]string) bool {
	t.Helper()
	if err == nil {
		t.Fatalf("operation %d failed without a word", at)
	}
	state := func() (isOld, isNew bool) {
		job := d.job(t, store.Dir)
		return sameFiles(job, oldJob), sameFiles(job, newJob)
	}
	if isOld, isNew := state(); !isOld && !isNew {
		if committed := errors.As(err, new(*record.PostCommitError)); !f.Dead && !committed {
			t.Fatalf("operation %d: neither old nor new, and the error says that it is untouched: %v", at, err)
		}
		for name, data := range d.job(t, store.Dir) {
			if data != oldJob[name] && data != newJob[name] {
				t.Fatalf("operation %d: %s is neither old nor new", at, name)
			}
		}
	}
	if rerr := store.Recover(); rerr != nil {
		t.Fatalf("operation %d: %v", at, rerr)
	}
	isOld, isNew := state()
	if !isOld && !isNew {
		t.Fatalf("operation %d, after recovery: neither old nor new", at)
	}
	// What the error says is true.
	if committed := errors.As(err, new(*record.PostCommitError)); !f.Dead && committed != isNew {
		t.Fatalf("operation %d: the new state stands: %v, and the error says: %v", at, isNew, err)
	}
	for n := 1; n <= 2; n++ {
		folder := filepath.Join(store.Dir, filepath.FromSlash(impression.ID{Job: "heron", Number: n}.Folder()))
		frozen, err := impression.Load(folder)
		if errors.Is(err, fs.ErrNotExist) && n == 2 {
			continue
		}
		if err != nil || !frozen.Whole() {
			t.Fatalf("operation %d: impression %d is not whole: %v", at, n, err)
		}
	}
	return isNew
}
