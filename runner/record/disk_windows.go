package record

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// Windows has no way to sync a folder; renames there are journalled by the
// file system.
func syncFolder(string) error { return nil }

func lockFile(f *os.File) (held bool, err error) {
	err = windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return true, nil
	}
	return false, err
}
