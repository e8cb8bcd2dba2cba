package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"

	"mahlstick/notebooks"
	"mahlstick/recipe"
	"mahlstick/runner"
)

// studioCopy is a copy of the small studio in a folder of its own.
func studioCopy(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	return dir
}

// patience bounds the waiting for something that must come.
const patience = time.Minute

// watching is the real program as it watches a recipe.
type watching struct {
	t     *testing.T
	dir   string
	cmd   *exec.Cmd
	lines chan string
}

func startWatch(t *testing.T, recipe string) *watching {
	t.Helper()
	return startWatchIn(t, studioCopy(t), recipe)
}

func startWatchIn(t *testing.T, dir, recipe string) *watching {
	t.Helper()
	w := &watching{t: t, dir: dir, lines: make(chan string, 1000)}
	w.cmd = exec.Command("mahlstick", "watch", recipe)
	w.cmd.Dir = w.dir
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	w.cmd.Stdout, w.cmd.Stderr = write, write
	if err := w.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	write.Close()
	t.Cleanup(func() {
		_ = w.cmd.Process.Kill() // it may have ended
		read.Close()
	})
	go func() {
		defer close(w.lines)
		for s := bufio.NewScanner(read); s.Scan(); {
			w.lines <- s.Text()
		}
	}()
	return w
}

// until reads until a line contains the text. It returns all lines since the last
// one that was waited for.
func (w *watching) until(text string) []string {
	w.t.Helper()
	var since []string
	late := time.After(patience)
	for {
		select {
		case line, ok := <-w.lines:
			if !ok {
				w.t.Fatalf("it ended before it said %q:\n%s", text, strings.Join(since, "\n"))
			}
			since = append(since, line)
			if strings.Contains(line, text) {
				return since
			}
		case <-late:
			w.t.Fatalf("it never said %q, but:\n%s", text, strings.Join(since, "\n"))
		}
	}
}

func (w *watching) interrupt() {
	w.t.Helper()
	if err := w.cmd.Process.Signal(os.Interrupt); err != nil {
		w.t.Fatal(err)
	}
}

// end waits until the program has ended; it returns its last lines and its code.
func (w *watching) end() (rest []string, code int) {
	w.t.Helper()
	late := time.After(patience)
	for {
		select {
		case line, ok := <-w.lines:
			if !ok {
				var exit *exec.ExitError
				if err := w.cmd.Wait(); err != nil && !errors.As(err, &exit) {
					w.t.Fatal(err)
				}
				return rest, w.cmd.ProcessState.ExitCode()
			}
			rest = append(rest, line)
		case <-late:
			w.t.Fatalf("it does not end, but says:\n%s", strings.Join(rest, "\n"))
		}
	}
}

// has fails unless one of the lines contains the text.
func (w *watching) has(lines []string, text string) {
	w.t.Helper()
	if !slices.ContainsFunc(lines, func(l string) bool { return strings.Contains(l, text) }) {
		w.t.Errorf("%q is not in:\n%s", text, strings.Join(lines, "\n"))
	}
}

func (w *watching) file(name string) string { return filepath.Join(w.dir, filepath.FromSlash(name)) }

func (w *watching) read(name string) string {
	w.t.Helper()
	data, err := os.ReadFile(w.file(name))
	if err != nil {
		w.t.Fatal(err)
	}
	return string(data)
}

// save writes a file as many editors do: to a new file, which then replaces the
// old one.
func (w *watching) save(name, text string) {
	w.t.Helper()
	fresh := w.file(name) + "~"
	err := os.WriteFile(fresh, []byte(text), 0o644)
	if err = errors.Join(err, os.Rename(fresh, w.file(name))); err != nil {
		w.t.Fatal(err)
	}
}

// overwrite writes new text into the same file.
func (w *watching) overwrite(name, text string) {
	w.t.Helper()
	if err := os.WriteFile(w.file(name), []byte(text), 0o644); err != nil {
		w.t.Fatal(err)
	}
}

const again = "Watching "

func TestWatch(t *testing.T) {
	w := startWatch(t, "pond/pond.md")
	first := w.until(again)
	w.has(first, "Pond, A5 landscape")
	w.has(first, "Wrote "+filepath.Join("logbook", "pond"))
	w.has(first, "Took ")
	program := w.read("logbook/pond/2-bird.nc")

	// The recipe, saved twice in the way that puts a new file in its place.
	pond := w.read("pond/pond.md")
	w.save("pond/pond.md", strings.Replace(pond, "0.8 * 750", "0.6 * 750", 1))
	w.until("pond/pond.md changed.")
	w.has(w.until(again), "Wrote ")
	slower := w.read("logbook/pond/2-bird.nc")
	if slower == program {
		t.Error("the program is as before the save")
	}
	w.save("pond/pond.md", pond)
	w.has(w.until(again), "Wrote ")
	if w.read("logbook/pond/2-bird.nc") != program {
		t.Error("the program is not as it was, though the recipe is")
	}

	// A linked notebook with an error: the error is printed, the result stays, and
	// the watch goes on.
	sable := w.read("brushes/sable.md")
	w.save("brushes/sable.md", strings.Replace(sable, "safe press ", "safe pres  ", 1))
	w.until("brushes/sable.md changed.")
	wrong := w.until(again)
	w.has(wrong, "[unknown-row]")
	w.has(wrong, "Nothing was written.")
	if w.read("logbook/pond/2-bird.nc") != program {
		t.Error("a run with errors changed a program")
	}
	w.save("brushes/sable.md", sable)
	w.has(w.until(again), "Wrote ")

	// A drawing that is removed and comes again, now as an empty file that is
	// filled.
	bird := w.read("pond/bird.dxf")
	if err := os.Remove(w.file("pond/bird.dxf")); err != nil {
		t.Fatal(err)
	}
	w.has(w.until(again), "[missing-file]")
	w.overwrite("pond/bird.dxf", bird)
	w.until("Wrote ")
	w.until(again)

	// A linked notebook that does not exist yet, in a folder that does not exist
	// yet either.
	w.save("pond/pond.md", strings.ReplaceAll(pond, "../brushes/sable.md", "../new/brushes/sable.md"))
	w.has(w.until(again), "there is no file new/brushes/sable.md")
	beside := w.file("beside")
	if err := errors.Join(os.MkdirAll(filepath.Join(beside, "brushes"), 0o755), os.WriteFile(filepath.Join(beside, "brushes", "sable.md"), []byte(sable), 0o644), os.Rename(beside, w.file("new"))); err != nil {
		t.Fatal(err)
	}
	w.has(w.until(again), "Wrote ")

	// Other files cause no run; one of the job's causes one, and only its name is
	// printed.
	w.save("brushes/other.md", "# Other\n")
	w.save("pond/notes.txt", "reeds are hard\n")
	w.save("pond/reeds.dxf", strings.Replace(w.read("pond/reeds.dxf"), "\n0\nEOF", "\n999\nremark\n0\nEOF", 1))
	last := w.until(again)
	if len(last) < 2 || last[1] != "pond/reeds.dxf changed." {
		t.Errorf("printed %q, not that the drawing changed", last)
	}

	// An interrupt ends it with exit code 0.
	w.interrupt()
	rest, code := w.end()
	if len(rest) > 0 || code != exitDone {
		t.Errorf("after the interrupt it ends with code %d and says %q", code, rest)
	}
}

// Readings that are filled in or changed cause a run of a job whose brush they
// measure, and of the swatch sheet itself, whose programs they never change.
func TestWatchReadings(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	const readings = "swatches/reed-round-readings.csv"
	w := startWatchIn(t, dir, "guide/13-measuring.md")
	w.until(again)
	program := w.read("logbook/guide/13-measuring/1-barley.nc")
	text := w.read(readings)
	wider := strings.ReplaceAll(text, ",1.8,750,,1.12\n", ",1.8,750,,1.18\n")
	if wider == text {
		t.Fatal("the readings are others")
	}
	w.save(readings, wider)
	w.until(readings + " changed.")
	w.has(w.until(again), "Wrote ")
	if w.read("logbook/guide/13-measuring/1-barley.nc") == program {
		t.Error("the program does not use the new readings")
	}
	w.overwrite(readings, strings.Replace(text, ",1.8,750,,1.12\n", ",1.8,750,,about 1.1\n", 1))
	wrong := w.until(again)
	w.has(wrong, readings+":")
	w.has(wrong, "Nothing was written.")
	w.save(readings, text)
	w.has(w.until(again), "Wrote ")
	if w.read("logbook/guide/13-measuring/1-barley.nc") != program {
		t.Error("the program is not as it was, though the readings are")
	}
	w.interrupt()
	w.end()

	w = startWatchIn(t, dir, "swatches/reed-round.md")
	w.until(again)
	program = w.read("logbook/swatches/reed-round/1-reed-round.nc")
	w.save(readings, wider)
	w.until(readings + " changed.")
	w.has(w.until(again), "Wrote ")
	if w.read("logbook/swatches/reed-round/1-reed-round.nc") != program {
		t.Error("readings changed the program of their own sheet")
	}
	w.save(readings, strings.Replace(text, ",1.8,750,,1.12\n", ",1.8,750,,about 1.1\n", 1))
	w.has(w.until(again), "warning: ")
	w.interrupt()
	if rest, code := w.end(); len(rest) > 0 || code != exitDone {
		t.Errorf("it ends with code %d and says %q", code, rest)
	}
}

// The folder of the recipe must exist; the recipe need not.
func TestWatchNothing(t *testing.T) {
	w := startWatch(t, filepath.Join(t.TempDir(), "nowhere", "pond.md"))
	printed, code := w.end()
	w.has(printed, "nowhere")
	if code != exitDisk {
		t.Errorf("it ends with code %d, want %d", code, exitDisk)
	}

	w = startWatch(t, "pond/lake.md")
	w.has(w.until(again), "[missing-file]")
	w.save("pond/lake.md", w.read("pond/pond.md"))
	w.has(w.until(again), "Wrote ")
	w.interrupt()
	if printed, code := w.end(); code != exitDone {
		t.Errorf("it ends with code %d: %q", code, printed)
	}
}

// lookedFor is a studio in which these files were looked for.
func lookedFor(t *testing.T, names ...string) *seen {
	t.Helper()
	dir := studioCopy(t)
	s := see(&recipe.Studio{Dir: dir, FS: os.DirFS(dir)})
	for _, name := range names {
		if _, err := s.Stat(name); err != nil && !errors.Is(err, os.ErrNotExist) {
			t.Fatal(err)
		}
	}
	return s
}

// saved saves a file of a studio anew, one byte longer.
func saved(t *testing.T, s *seen, name string) {
	t.Helper()
	data, err := os.ReadFile(s.path(name))
	if err == nil {
		err = os.WriteFile(s.path(name), append(data, '\n'), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// A burst of events is one change, which names each file once.
func TestBurst(t *testing.T) {
	w := &watch{errs: io.Discard, seen: lookedFor(t, "pond/pond.md", "pond/bird.dxf", "brushes/sable.md"), quiet: 10 * time.Millisecond, longest: time.Hour}
	events := make(chan fsnotify.Event, 1000)
	saved(t, w.seen, "pond/pond.md")
	saved(t, w.seen, "pond/bird.dxf")
	for range 100 {
		events <- fsnotify.Event{Name: w.seen.path("pond/pond.md"), Op: fsnotify.Write}
		events <- fsnotify.Event{Name: w.seen.path("pond/pond.md") + "~", Op: fsnotify.Create}
		events <- fsnotify.Event{Name: w.seen.path("brushes/sable.md"), Op: fsnotify.Chmod}
		events <- fsnotify.Event{Name: w.seen.path("pond/bird.dxf"), Op: fsnotify.Rename}
	}
	if got := fmt.Sprint(w.wait(t.Context(), events, nil)); got != "[pond/bird.dxf pond/pond.md]" {
		t.Errorf("changed: %s", got)
	}
	// What is left of it is of no interest once the files were read again.
	w.seen.renew()
	for range 100 {
		events <- fsnotify.Event{Name: w.seen.path("pond/pond.md"), Op: fsnotify.Write}
	}
	ctx, stop := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer stop()
	if got := w.wait(ctx, events, nil); got != nil {
		t.Errorf("changed once more: %v", got)
	}
}

// Events that never end do not put a run off for ever.
func TestEndlessBurst(t *testing.T) {
	w := &watch{errs: io.Discard, seen: lookedFor(t, "pond/pond.md"), quiet: time.Hour, longest: 20 * time.Millisecond}
	saved(t, w.seen, "pond/pond.md")
	events := make(chan fsnotify.Event)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go func() {
		for {
			select {
			case events <- fsnotify.Event{Name: w.seen.path("pond/pond.md"), Op: fsnotify.Write}:
			case <-ctx.Done():
				return
			}
		}
	}()
	done := make(chan []string, 1)
	go func() { done <- w.wait(ctx, events, nil) }()
	select {
	case changed := <-done:
		if len(changed) != 1 {
			t.Errorf("changed: %v", changed)
		}
	case <-time.After(patience):
		t.Error("the run is put off for ever")
	}
}

// The wait ends with the watch, and looks at everything again where events
// were lost.
func TestWaitEnds(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	w := &watch{errs: io.Discard, recipe: "pond/pond.md", seen: lookedFor(t, "pond/pond.md"), quiet: time.Hour, longest: time.Hour}
	if got := w.wait(ctx, nil, nil); got != nil {
		t.Errorf("changed: %v", got)
	}
	lost := make(chan error, 1)
	lost <- fsnotify.ErrEventOverflow
	if got := w.wait(t.Context(), nil, lost); len(got) != 1 {
		t.Errorf("changed: %v", got)
	}
}

// What a run looks for is what is watched: the recipe, notebooks, drawings,
// the studio's own file, there or not; nothing of the logbook.
func TestSeen(t *testing.T) {
	dir := studioCopy(t)
	if err := os.Remove(filepath.Join(dir, "pond", "bird.dxf")); err != nil {
		t.Fatal(err)
	}
	s := see(&recipe.Studio{Dir: dir, FS: os.DirFS(dir)})
	if _, problems, err := runner.RunIn(&recipe.Studio{Dir: dir, FS: s}, "pond/pond.md", runner.Options{}); err != nil || !problems.HasErrors() {
		t.Fatal(problems, err)
	}
	for _, name := range []string{"pond/pond.md", "pond/bird.dxf", "pond/reeds.dxf", "brushes/sable.md", "machines/bench.md"} {
		if _, ok := s.stamps[name]; !ok {
			t.Errorf("%s is not noted", name)
		}
	}
	want := []string{filepath.Join(dir, "brushes"), filepath.Join(dir, "machines"), filepath.Join(dir, "pond")}
	for _, folder := range want {
		if !slices.Contains(s.folders(), folder) {
			t.Errorf("%s is not watched, only %v", folder, s.folders())
		}
	}
	if got := s.changed(); len(got) > 0 {
		t.Errorf("%v changed", got)
	}
	for name, want := range map[string]bool{
		"pond/bird.dxf": true, "pond/pond.md": true, "pond/x.dxf": false, "logbook/pond/1-reeds.nc": false, "logbook": false, "brushes": true,
	} {
		if got := s.concerns(fsnotify.Event{Name: s.path(name), Op: fsnotify.Create}); got != want {
			t.Errorf("%s concerns it: %t, want %t", name, got, want)
		}
	}
	// A write of a folder alone does not count.
	if s.concerns(fsnotify.Event{Name: s.path("brushes"), Op: fsnotify.Write}) {
		t.Error("each file that is put into a folder would make a run")
	}
	if err := os.WriteFile(filepath.Join(dir, "pond", "bird.dxf"), []byte("0\nEOF\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(s.changed()); got != "[pond/bird.dxf]" {
		t.Errorf("%s changed", got)
	}
}

// A file behind a symbolic link is saved where it lies.
func TestSeenLink(t *testing.T) {
	s := lookedFor(t)
	if err := errors.Join(os.Mkdir(s.path("papers"), 0o755), os.Rename(s.path("pond/bird.dxf"), s.path("papers/bird.dxf")), os.Symlink("../papers/bird.dxf", s.path("pond/bird.dxf"))); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Stat("pond/bird.dxf"); err != nil {
		t.Fatal(err)
	}
	real, err := filepath.EvalSymlinks(s.path("papers/bird.dxf"))
	if err != nil {
		t.Fatal(err)
	}
	if !s.concerns(fsnotify.Event{Name: real, Op: fsnotify.Write}) {
		t.Error("a save of what the link leads to does not concern it")
	}
	saved(t, s, "papers/bird.dxf")
	if got := fmt.Sprint(s.changed()); got != "[pond/bird.dxf]" {
		t.Errorf("%s changed", got)
	}
	if !slices.Contains(s.folders(), filepath.Dir(real)) {
		t.Errorf("%s is not watched", filepath.Dir(real))
	}
}
