//go:build unix

package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A studio that may only be read: checking and repeating work, running and
// signing are refused and change nothing.
func TestReadOnlyStudio(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	somebody := somebodyIn(t, dir)
	for _, command := range []string{"run", "sign", "sign"} {
		if code := run([]string{command, filepath.Join(dir, "pond/pond.md")}, new(strings.Builder), os.Stderr); code != exitDone {
			t.Fatalf("%s: exit code %d", command, code)
		}
	}
	readOnly := func(mode os.FileMode) {
		t.Helper()
		err := filepath.WalkDir(dir, func(name string, e os.DirEntry, err error) error {
			if err == nil && e.IsDir() {
				err = os.Chmod(name, mode)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	readOnly(0o555)
	defer readOnly(0o755)
	before := treeOf(t, dir)
	for _, c := range []struct {
		args []string
		code int
		text string
	}{
		{[]string{"check", "pond/pond.md"}, exitDone, "nothing was written"},
		{[]string{"repeat"}, exitDone, "2 impressions: 2 exact"},
		{[]string{"run", "pond/pond.md"}, exitDisk, "could not be written"},
		{[]string{"sign", "pond/pond.md"}, exitDisk, "could not be signed"},
	} {
		code, text := somebody(c.args...)
		if code != c.code || !strings.Contains(text, c.text) {
			t.Errorf("%v: exit code %d, want %d\n%s", c.args, code, c.code, text)
		}
	}
	if after := treeOf(t, dir); after != before {
		t.Errorf("something changed:\n%s\n%s", before, after)
	}
}

// An impression that somebody protects against writing stays as it is, and
// protected, through every run.
func TestProtectedImpression(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	somebody := somebodyIn(t, dir)
	giveAway(t, dir)
	must := func(text string, args ...string) {
		t.Helper()
		if code, out := somebody(args...); code != exitDone || !strings.Contains(out, text) {
			t.Fatalf("%v: exit code %d\n%s", args, code, out)
		}
	}
	must("Wrote", "run", "pond/pond.md")
	must("Signed", "sign", "pond/pond.md")
	frozen := filepath.Join(dir, "logbook", "pond", "impressions", "01")
	protect := func(folder, file os.FileMode) {
		t.Helper()
		err := filepath.WalkDir(frozen, func(name string, e os.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case e.IsDir():
				return os.Chmod(name, folder)
			}
			return os.Chmod(name, file)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	protect(0o555, 0o444)
	defer protect(0o755, 0o644)
	for range 2 {
		must("Wrote", "run", "pond/pond.md")
		must("Signed", "sign", "pond/pond.md")
	}
	for name, want := range map[string]os.FileMode{"": 0o555, "inputs/pond": 0o555, "record.json": 0o444, "../02": 0o755} {
		if info, err := os.Lstat(filepath.Join(frozen, name)); err != nil || info.Mode().Perm() != want {
			t.Errorf("%q: %v, %v, want %v", name, info.Mode(), err, want)
		}
	}
	must("3 impressions: 3 exact", "repeat")
	left, err := filepath.Glob(filepath.Join(dir, "logbook", ".mahlstick", "pond.*"))
	if err != nil || len(left) != 1 {
		t.Errorf("left: %v %v", left, err)
	}
}

// Where the old record cannot be read, nobody knows which files were changed by
// hand: nothing is replaced.
func TestUnreadableRecord(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	somebody := somebodyIn(t, dir)
	giveAway(t, dir)
	if code, out := somebody("run", "pond/pond.md"); code != exitDone {
		t.Fatal(out)
	}
	record := filepath.Join(dir, "logbook", "pond", "record.json")
	program := filepath.Join(dir, "logbook", "pond", "1-reeds.nc")
	if err := errors.Join(os.WriteFile(program, []byte("mine"), 0o644), os.Chmod(record, 0)); err != nil {
		t.Fatal(err)
	}
	before := treeOf(t, filepath.Join(dir, "logbook", "pond"))
	if code, out := somebody("run", "pond/pond.md"); code != exitDisk || !strings.Contains(out, "could not be written") {
		t.Errorf("exit code %d\n%s", code, out)
	}
	if after := treeOf(t, filepath.Join(dir, "logbook", "pond")); after != before {
		t.Errorf("something changed:\n%s\n%s", before, after)
	}
	if err := os.Chmod(record, 0o644); err != nil {
		t.Fatal(err)
	}
	if code, out := somebody("run", "pond/pond.md"); code != exitDone || !strings.Contains(out, "1-reeds.nc.changed.") {
		t.Errorf("exit code %d\n%s", code, out)
	}
}

// giveAway makes a folder that of the user whom somebodyIn runs the program as.
func giveAway(t *testing.T, dir string) {
	t.Helper()
	if os.Geteuid() != 0 {
		return
	}
	err := filepath.WalkDir(dir, func(name string, _ os.DirEntry, err error) error {
		return errors.Join(err, os.Chown(name, nobody, nobody))
	})
	if err != nil {
		t.Fatal(err)
	}
}

const nobody = 65534

// somebodyIn runs the program in a folder, as a user whom the permissions
// bind.
func somebodyIn(t *testing.T, dir string) func(args ...string) (code int, text string) {
	t.Helper()
	// The test's own program under the name that makes it mahlstick; a copy,
	// since somebody else may not be let into the folder where it was built.
	program := filepath.Join(dir, "mahlstick")
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(program, data, 0o755); err != nil {
		t.Fatal(err)
	}
	// In a folder of the test's own that nobody else is let into at first.
	for up := dir; up != os.TempDir() && up != filepath.Dir(up); up = filepath.Dir(up) {
		if err := os.Chmod(up, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return func(args ...string) (code int, text string) {
		t.Helper()
		cmd := exec.Command(program, args...)
		cmd.Dir = dir
		if os.Geteuid() == 0 { // nothing is read-only to root
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
		}
		out, _ := cmd.CombinedOutput()
		return cmd.ProcessState.ExitCode(), string(out)
	}
}

// treeOf lists the files of a folder and when each was last changed.
func treeOf(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(name string, e os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		b.WriteString(name + " " + info.ModTime().String() + "\n")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}
