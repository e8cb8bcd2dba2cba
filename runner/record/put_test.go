package record

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/runner/record/disk"
	"mahlstick/runner/record/faults"
)

// A disk that fails at any operation leaves the file that was there or the whole new
// one, and never loses what somebody wrote under its name.
func TestPutThroughFaults(t *testing.T) {
	const name = "2-moss-from-9.nc"
	older, fresh := []byte("written by hand\n"), bytes.Repeat([]byte("G1 X1\n"), 1000)
	put := func(s Store) error {
		l, err := s.Lock("pond")
		if err != nil {
			return err
		}
		_, err = l.Put(Output{name, fresh})
		return errors.Join(err, l.Unlock())
	}
	for at := 0; ; at++ {
		s := studio(t)
		full := filepath.Join(s.Folder("pond"), name)
		write(t, full, string(older))
		f := &faults.Faulty{Disk: disk.System{}, At: at, Dead: at%2 == 0}
		broken := s
		broken.Disk = f
		err := put(broken)
		if f.N > at && err == nil {
			t.Errorf("operation %d failed without a word", at)
		}
		now, _ := os.ReadFile(full)
		changed, _ := os.ReadFile(full + ".changed")
		switch {
		case now != nil && !bytes.Equal(now, older) && !bytes.Equal(now, fresh):
			t.Errorf("operation %d: %d bytes of %d", at, len(now), len(fresh))
		case !bytes.Equal(now, older) && !bytes.Equal(changed, older):
			t.Errorf("operation %d: what was written by hand is lost", at)
		}
		if err := put(s); err != nil {
			t.Errorf("operation %d: not written afterwards: %v", at, err)
		}
		if now, _ = os.ReadFile(full); !bytes.Equal(now, fresh) {
			t.Errorf("operation %d: not whole afterwards", at)
		}
		if f.N <= at {
			if at < 4 {
				t.Errorf("%d operations", at)
			}
			return
		}
	}
}
