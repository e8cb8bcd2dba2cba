//go:build unix

package disk

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
