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
// signing are told to be impossible and change nothing.
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
// protected, through every run; the folder that it stood in can be cleared away.
func TestProtectedImpression(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	somebody := somebodyIn(t, dir)
	if os.Geteuid() == 0 {
		err := filepath.WalkDir(dir, func(name string, _ os.DirEntry, err error) error {
			return errors.Join(err, os.Chown(name, nobody, nobody))
		})
		if err != nil {
			t.Fatal(err)
		}
	}
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
