package record

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/gofrs/flock"
)

// ErrLocked is returned by Lock if another process holds the job.
var ErrLocked = errors.New("another run is writing this job; wait for it or stop it")

// lockFile locks a file, which it makes if there is none. It waits at most this
// long for another process. The system releases the lock when the process ends, in
// whatever way. The file stays: if it were removed, two processes could hold two
// locks of one name.
//
// This is the only use of the lock library. Two of its habits are guarded against
// here: it follows a link in the file's place, and with a time limit of 0 it does
// not try at all.
func lockFile(name string, wait time.Duration) (*flock.Flock, error) {
	if info, err := os.Lstat(name); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file; remove it", name)
	}
	lock := flock.New(name, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o644))
	held, err := lock.TryLock()
	if err == nil && !held && wait > 0 {
		limit, cancel := context.WithTimeout(context.Background(), wait)
		defer cancel()
		held, err = lock.TryLockContext(limit, lockRetry)
		if errors.Is(err, context.DeadlineExceeded) {
			err = nil
		}
	}
	switch {
	case err != nil:
		return nil, errors.Join(err, lock.Close())
	case !held:
		return nil, ErrLocked
	}
	return lock, nil
}

// lockRetry is how often the library tries again.
const lockRetry = 20 * time.Millisecond
