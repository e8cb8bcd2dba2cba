//go:build unix

package main

import (
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
	somebody := func(args ...string) (code int, text string) {
		t.Helper()
		cmd := exec.Command(program, args...)
		cmd.Dir = dir
		if os.Geteuid() == 0 { // nothing is read-only to root
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		out, _ := cmd.CombinedOutput()
		return cmd.ProcessState.ExitCode(), string(out)
	}
	for up := dir; up != os.TempDir() && up != filepath.Dir(up); up = filepath.Dir(up) {
		if err := os.Chmod(up, 0o755); err != nil {
			t.Fatal(err)
		}
	}
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
