package disk

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

func exchange(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	switch {
	case errors.Is(err, unix.ENOSYS), errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOTSUP):
		return ErrNoExchange
	case err != nil:
		return &os.LinkError{Op: "exchange", Old: a, New: b, Err: err}
	}
	return nil
}
