//go:build unix

package record

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = f.Sync()
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		err = nil // some network file systems cannot sync a folder
	}
	return errors.Join(err, f.Close())
}

// lockFile takes the lock without waiting; held is true when another process
// has it.
func lockFile(f *os.File) (held bool, err error) {
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return true, nil
	}
	return false, err
}
