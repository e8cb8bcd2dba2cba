package record

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/runner/record/disk"
	"mahlstick/runner/record/faults"
)

func add(s Store, name string) error {
	l, err := s.Lock("pond")
	if err != nil {
		return err
	}
	return errors.Join(l.Add(name, []Output{{RecordName, []byte("r")}, {"inputs/pond/pond.md", []byte("m")}}), l.Unlock())
}

func TestAddRefuses(t *testing.T) {
	s := studio(t)
	before := tree(t, s.Dir)
	for _, name := range []string{"impressions/01", "", ".", "..", "../x", "a/../b"} {
		if err := add(s, name); err == nil {
			t.Errorf("%q could be added", name)
		}
	}
	if got := tree(t, s.Dir); got != before {
		t.Fatalf("a refused folder left something behind:\n%s", got)
	}
}

func TestAddThroughFaults(t *testing.T) {
	for at := 0; ; at++ {
		s := studio(t)
		f := &faults.Faulty{Disk: disk.System{}, At: at, Dead: at%2 == 0}
		broken := s
		broken.Disk = f
		err := add(broken, "impressions/02")
		if f.N <= at {
			if err != nil || at < 10 {
				t.Fatalf("%d operations: %v", at, err)
			}
			return
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
		if left, _ := os.ReadDir(filepath.Join(s.Dir, workFolder)); len(left) > 2 {
			t.Fatalf("operation %d: left in the works: %v", at, left)
		}
		if err := add(s, "impressions/03"); err != nil {
			t.Fatalf("operation %d: the next one: %v", at, err)
		}
	}
}
