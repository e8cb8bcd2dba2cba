package runner_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
	"mahlstick/runner/record/faults"
)

// quickDir is a folder of the test's own, in memory where there is such a
// place: what waits for a medium takes long there.
func quickDir(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "mahlstick")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// studioOf copies a studio into a folder of the test's own.
func studioOf(t testing.TB, files fs.FS) string {
	t.Helper()
	dir := quickDir(t)
	if err := os.CopyFS(dir, files); err != nil {
		t.Fatal(err)
	}
	return dir
}

func pond(t testing.TB) (studio, recipe string) {
	t.Helper()
	studio = studioOf(t, os.DirFS("../testdata/studio"))
	return studio, filepath.Join(studio, "pond", "pond.md")
}

func heron(t testing.TB) (studio, recipe string) {
	t.Helper()
	studio = studioOf(t, notebooks.Files)
	return studio, filepath.Join(studio, "heron", "heron.md")
}

func mustRun(t testing.TB, recipe string, options runner.Options) *runner.Result {
	t.Helper()
	r, problems, err := runner.Run(recipe, options)
	if err != nil || problems.HasErrors() {
		t.Fatalf("%s: %v %v", recipe, err, problems)
	}
	return r
}

// mustSign runs a recipe, writes the result and signs it so many times.
func mustSign(t testing.TB, recipe string, times int) *runner.Result {
	t.Helper()
	r := mustRun(t, recipe, runner.Options{})
	store := runner.LogbookOf(r.Studio)
	if err := r.Write(store); err != nil {
		t.Fatal(err)
	}
	for range times {
		if _, problems, err := r.Sign(store, ""); err != nil || problems.HasErrors() {
			t.Fatal(err, problems)
		}
	}
	return r
}

// mustSignDespite signs a run of the pond that its recipe does not give any
// more: what was run is frozen too.
func mustSignDespite(t testing.TB, recipe string) {
	t.Helper()
	r := mustRun(t, recipe, runner.Options{})
	text, err := os.ReadFile(recipe)
	slower := bytes.Replace(text, []byte("0.8 * 750"), []byte("0.6 * 750"), 1)
	store := runner.LogbookOf(r.Studio)
	if err := errors.Join(err, r.Write(store), os.WriteFile(recipe, slower, 0o644)); err != nil {
		t.Fatal(err)
	}
	if _, problems, err := mustRun(t, recipe, runner.Options{}).Sign(store, "painted before"); err != nil || problems.HasErrors() {
		t.Fatal(err, problems)
	}
}

// list is the files of a folder, what is in the making left out. A file that is
// known already is not read; known may be nil.
func list(t testing.TB, dir string, known func(name string, info fs.FileInfo) (data string, ok bool)) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			if e.Name() == ".mahlstick" {
				return fs.SkipDir
			}
			return nil
		}
		rel, _ := filepath.Rel(dir, name)
		rel = filepath.ToSlash(rel)
		if known != nil {
			info, err := e.Info()
			if err != nil {
				return err
			}
			if data, ok := known(rel, info); ok {
				out[rel] = data
				return nil
			}
		}
		data, err := os.ReadFile(name)
		out[rel] = string(data)
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return out
}

func sameFiles(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for name, data := range a {
		if other, ok := b[name]; !ok || other != data {
			return false
		}
	}
	return true
}

// One byte changed in any frozen input or output is found and named, wherever
// in the file it is; so is a byte more, a byte less, and a file that is gone.
func TestTampering(t *testing.T) {
	for _, c := range []struct {
		name, job string
		studio    func(testing.TB) (dir, recipe string)
		despite   bool
	}{{"pond", "pond", pond, false}, {"heron", "heron", heron, false}, {"pond, signed despite", "pond", pond, true}} {
		name := c.name
		dir, recipe := c.studio(t)
		if c.despite {
			mustSignDespite(t, recipe)
		} else {
			mustSign(t, recipe, 1)
		}
		logbook := filepath.Join(dir, "logbook")
		id := impression.ID{Job: c.job, Number: 1}
		folder := filepath.Join(logbook, filepath.FromSlash(id.Folder()))
		if r := runner.RepeatOne(logbook, id, 0); r.Err != nil || r.Tampered() || r.Differs() || r.Comparison.Page != impression.Exact {
			t.Fatalf("%s does not come out again: %+v", name, r)
		}
		frozen := list(t, folder, nil)
		changes := 0
		for file, data := range frozen {
			full := filepath.Join(folder, filepath.FromSlash(file))
			write := func(data string) {
				t.Helper()
				if err := os.WriteFile(full, []byte(data), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			check := func(what string, looksInto func() []impression.Change) {
				t.Helper()
				changes++
				got := looksInto()
				if len(got) != 1 || got[0].Name != file {
					t.Errorf("%s: %s, %s: found %v", name, file, what, got)
				}
			}
			load := func() []impression.Change {
				f, err := impression.Load(folder)
				if err != nil {
					t.Fatal(err)
				}
				return f.Changed
			}
			repeat := func() []impression.Change {
				r := runner.RepeatOne(logbook, id, 0)
				if r.Err != nil || !r.Tampered() {
					t.Fatalf("%s: %s: not found to be tampered with: %+v", name, file, r)
				}
				return r.Frozen.Changed
			}
			for _, at := range []int{0, 1, len(data) / 3, len(data) / 2, len(data) - 2, len(data) - 1} {
				flipped := []byte(data)
				flipped[at] ^= 1
				write(string(flipped))
				check(fmt.Sprintf("byte %d", at), load)
			}
			if c.job == "pond" { // the whole way through, too
				check("by repeat", repeat)
			}
			write(data + "\n")
			check("a byte more", load)
			write(data[:len(data)-1])
			check("a byte less", load)
			write("")
			check("emptied", load)
			if err := os.Remove(full); err != nil {
				t.Fatal(err)
			}
			check("gone", load)
			if err := os.Mkdir(full, 0o755); err != nil {
				t.Fatal(err)
			}
			check("a folder", load)
			if err := os.Remove(full); err != nil {
				t.Fatal(err)
			}
			write(data)
		}
		if len(frozen) < 12 || changes < 10*len(frozen) {
			t.Errorf("%s: %d files, %d changes", name, len(frozen), changes)
		}
		t.Logf("%s: %d changes in %d frozen files, each found and named", name, changes, len(frozen))
	}
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

// Between any two operations of a run and of a signing on the demo the process
// is killed, or the operation fails and the process goes on. What stands there
// is the old result or the new one, and no impression is ever lost; the next
// command puts things right.
func TestDemoThroughFaults(t *testing.T) {
	studio, recipe := heron(t)
	old := mustSign(t, recipe, 1)
	template := filepath.Join(studio, "logbook")
	before := list(t, template, nil)

	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	// Prose moves the page and the record, and makes no run stale.
	if err := os.WriteFile(recipe, append(text, "\nA word more.\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	fresh := mustRun(t, recipe, runner.Options{})
	for _, o := range []string{record.RecordName, "index.html"} {
		if output(old, o) == output(fresh, o) {
			t.Fatalf("%s does not move", o)
		}
	}

	type kind struct {
		name string
		do   func(record.Store) error
	}
	clean := quickDir(t)
	// Second names of the files do for copies: a store only ever writes new
	// files. One that is still the old file need not be read to know it.
	prepare := func(dir string) record.Store {
		t.Helper()
		for name := range before {
			to := filepath.Join(dir, filepath.FromSlash(name))
			if err := errors.Join(os.MkdirAll(filepath.Dir(to), 0o755), os.Link(filepath.Join(template, filepath.FromSlash(name)), to)); err != nil {
				t.Fatal(err)
			}
		}
		return record.Store{Dir: dir, Disk: record.System}
	}
	known := map[string]fs.FileInfo{}
	for name := range before {
		info, err := os.Lstat(filepath.Join(template, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		known[name] = info
	}
	inJob := func(dir string) map[string]string {
		return list(t, dir, func(name string, info fs.FileInfo) (string, bool) {
			switch {
			case !strings.HasPrefix(name, "heron/"):
				return "", true // the index belongs to no job
			case known[name] != nil && os.SameFile(known[name], info):
				return before[name], true
			}
			return "", false
		})
	}
	for _, k := range []kind{
		{"run", func(s record.Store) error { return fresh.Write(s) }},
		{"sign", func(s record.Store) error { _, _, err := fresh.Sign(s, ""); return err }},
	} {
		wanted := prepare(filepath.Join(clean, k.name))
		if err := k.do(wanted); err != nil {
			t.Fatal(err)
		}
		oldJob, newJob := inJob(template), inJob(wanted.Dir)
		for _, mode := range []struct {
			dead       bool
			noExchange error
		}{{true, nil}, {false, nil}, {true, record.ErrNoExchange}, {false, record.ErrNoExchange}} {
			if k.name == "sign" && mode.noExchange != nil {
				continue // exchanges nothing
			}
			ops, olds, news := 0, 0, 0
			for at := 0; ; at++ {
				dir := filepath.Join(clean, fmt.Sprint(k.name, mode.dead, mode.noExchange != nil, at), "logbook")
				store := prepare(dir)
				f := &faults.Faulty{Disk: record.System, At: at, Dead: mode.dead, NoExchange: mode.noExchange}
				broken := store
				broken.Disk = f
				err := k.do(broken)
				if f.N <= at {
					if err != nil {
						t.Fatal(err)
					}
					break
				}
				if err == nil {
					t.Fatalf("%s: operation %d failed without a word", k.name, at)
				}
				ops++
				state := func() (isOld, isNew bool) {
					job := inJob(dir)
					return sameFiles(job, oldJob), sameFiles(job, newJob)
				}
				if mode.noExchange == nil {
					if isOld, isNew := state(); !isOld && !isNew {
						t.Fatalf("%s: operation %d: neither old nor new", k.name, at)
					}
				}
				if rerr := store.Recover(); rerr != nil {
					t.Fatalf("%s: operation %d: %v", k.name, at, rerr)
				}
				isOld, isNew := state()
				// What the error says is true.
				if unsettled := errors.As(err, new(*record.Unsettled)); !mode.dead && unsettled != isNew {
					t.Fatalf("%s: operation %d: the new state stands: %v, and the error says: %v", k.name, at, isNew, err)
				}
				switch {
				case isOld:
					olds++
				case isNew:
					news++
				default:
					t.Fatalf("%s: operation %d, after recovery: neither old nor new", k.name, at)
				}
				for n := 1; n <= 2; n++ {
					folder := filepath.Join(dir, filepath.FromSlash(impression.ID{Job: "heron", Number: n}.Folder()))
					frozen, err := impression.Load(folder)
					if errors.Is(err, fs.ErrNotExist) && n == 2 {
						continue
					}
					if err != nil || !frozen.Whole() {
						t.Fatalf("%s: operation %d: impression %d is not whole: %v", k.name, at, n, err)
					}
				}
			}
			t.Logf("%s: dead=%v, journal=%v: %d operations, %d times the old state, %d times the new", k.name, mode.dead, mode.noExchange != nil, ops, olds, news)
			if ops < 20 || olds == 0 || news == 0 {
				t.Errorf("%s: the faults did not reach both sides: %d operations, %d old, %d new", k.name, ops, olds, news)
			}
		}
	}
}

func output(r *runner.Result, name string) string {
	i := slices.IndexFunc(r.Outputs, func(o record.Output) bool { return o.Name == name })
	if i < 0 {
		return ""
	}
	return string(r.Outputs[i].Data)
}

// Repeats are told in the order of the list, however many work at them, and
// every one is told once.
func TestRepeatAll(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 9)
	logbook := filepath.Join(studio, "logbook")
	if err := os.RemoveAll(filepath.Join(logbook, "pond", "impressions", "04")); err != nil {
		t.Fatal(err)
	}
	ids, err := impression.All(logbook)
	if err != nil || len(ids) != 9 || ids[3].Gone != 4 {
		t.Fatal(ids, err)
	}
	for _, workers := range []int{1, 2, 5, 50} {
		var told, counts []string
		runner.RepeatAll(logbook, ids, workers, func(n int) { counts = append(counts, fmt.Sprint(n)) }, func(r *runner.Repeat) {
			told = append(told, r.ID.String())
			if r.Gone != (r.ID.Number == 4) || r.Tampered() != r.Gone || r.Differs() || r.Err != nil {
				t.Errorf("%s: %+v", r.ID, r)
			}
		})
		if got := strings.Join(told, " "); got != "pond/01 pond/02 pond/03 pond/04 pond/05 pond/06 pond/07 pond/08 pond/09" {
			t.Errorf("%d workers: told %s", workers, got)
		}
		if got := strings.Join(counts, " "); got != "1 2 3 4 5 6 7 8 9" {
			t.Errorf("%d workers: counted %s", workers, got)
		}
	}
	runner.RepeatAll(logbook, nil, 3, nil, func(*runner.Repeat) { t.Error("told of nothing") })
}

// BenchmarkRepeat repeats 100 copies of the demo, on one core and on two.
func BenchmarkRepeat(b *testing.B) {
	studio, recipe := heron(b)
	mustSign(b, recipe, 100)
	logbook := filepath.Join(studio, "logbook")
	ids, err := impression.All(logbook)
	if err != nil || len(ids) != 100 {
		b.Fatal(ids, err)
	}
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers=%d", workers), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
			for b.Loop() {
				runner.RepeatAll(logbook, ids, workers, nil, func(r *runner.Repeat) {
					if r.Err != nil || r.Tampered() || r.Differs() {
						b.Fatalf("%s: %+v", r.ID, r)
					}
				})
			}
			b.ReportMetric(float64(100*b.N)/b.Elapsed().Seconds(), "impressions/s")
		})
	}
}

// The drawings of a job are bounded together, not each alone. Where the bound
// is crossed is told at the layer; files of nothing take no room on the disk.
func TestDrawingsTogether(t *testing.T) {
	studio, recipe := pond(t)
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	var rows strings.Builder
	for i := range 5 {
		name := filepath.Join(studio, "pond", fmt.Sprintf("empty%d.dxf", i))
		if err := errors.Join(os.WriteFile(name, nil, 0o644), os.Truncate(name, 60<<20)); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&rows, "| l%d | [l](empty%d.dxf) | | [sable](../brushes/sable.md) | moss #6c7a45 | 750 mm/min |\n", i, i)
	}
	text = bytes.Replace(text, []byte("| bird "), []byte(rows.String()+"| bird "), 1)
	if err := os.WriteFile(recipe, text, 0o644); err != nil {
		t.Fatal(err)
	}
	_, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for _, p := range problems {
		if strings.Contains(p.Message, "at most 256 MB together") {
			told++
			if !strings.Contains(p.Message, "empty4.dxf") || !p.Place.Known() {
				t.Errorf("told at %v: %s", p.Place, p.Message)
			}
		}
	}
	if told != 1 {
		t.Errorf("told %d times in %v", told, problems)
	}
}
