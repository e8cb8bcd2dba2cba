package record

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"mahlstick/runner/record/disk"
)

func TestLockIsExclusive(t *testing.T) {
	s := Store{Dir: t.TempDir(), Disk: disk.System{}}
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

// What the lock library does without a word: it takes the place of a link, a
// limit of 0 is over before the first try, and a lock that one value holds
// already is given once more.
func TestLockLibrary(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "pond.lock")
	lock, err := lockFile(name, 0)
	if err != nil {
		t.Fatalf("a free lock is not had without waiting: %v", err)
	}
	if _, err := lockFile(name, 0); !errors.Is(err, ErrLocked) {
		t.Errorf("the process that holds the lock had it again: %v", err)
	}
	if _, err := lockFile(name, 30*time.Millisecond); !errors.Is(err, ErrLocked) {
		t.Errorf("after the wait: %v", err)
	}
	got := make(chan error)
	go func() {
		second, err := lockFile(name, time.Minute)
		if err == nil {
			err = second.Close()
		}
		got <- err
	}()
	if err := lock.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-got; err != nil {
		t.Errorf("whoever waits does not have the lock when it is free: %v", err)
	}
	if info, err := os.Lstat(name); err != nil || info.Mode().Perm() != 0o644 {
		t.Errorf("the lock's file does not stay, or others cannot take it: %v %v", info, err)
	}
	link := filepath.Join(dir, "link.lock")
	if err := os.Symlink(filepath.Join(dir, "elsewhere"), link); err != nil {
		t.Skip(err)
	}
	if _, err := lockFile(link, 0); err == nil || disk.Exists(filepath.Join(dir, "elsewhere")) {
		t.Errorf("a lock was made behind a link: %v", err)
	}
}

// A process that is killed leaves no lock.
func TestLockOfAKilledProcess(t *testing.T) {
	const holder = "MAHLSTICK_TEST_LOCK"
	if name := os.Getenv(holder); name != "" {
		if _, err := lockFile(name, 0); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("held")
		select {}
	}
	name := filepath.Join(t.TempDir(), "pond.lock")
	cmd := exec.Command(os.Args[0], "-test.run=^TestLockOfAKilledProcess$")
	cmd.Env = append(os.Environ(), holder+"="+name)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || line != "held\n" {
		t.Fatalf("%q %v", line, err)
	}
	if _, err := lockFile(name, 0); !errors.Is(err, ErrLocked) {
		t.Errorf("another process's lock was had: %v", err)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait()
	lock, err := lockFile(name, 0)
	if err != nil {
		t.Fatalf("a killed process still holds the lock: %v", err)
	}
	if err := lock.Close(); err != nil {
		t.Error(err)
	}
}
