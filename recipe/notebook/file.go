package notebook

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
)

// ErrNotAFile is returned for a folder, a pipe or a device.
var ErrNotAFile = errors.New("it is not a file")

// ErrChanged is returned for a file that was written to while it was read.
var ErrChanged = errors.New("it changed while it was read; run again when it is saved")

// TooLargeError is returned for a file larger than the limit; both are in bytes.
type TooLargeError struct{ Size, Limit int64 }

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("it has %d MB; more than %d MB is not read", e.Size>>20, e.Limit>>20)
}

// ReadFile reads a file of at most `most` bytes. A file that changes while it
// is read is refused, so that no half-written state is used.
func ReadFile(root fs.FS, name string, most int64) ([]byte, error) {
	// A pipe would wait for ever when it is opened.
	if info, err := fs.Stat(root, name); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, ErrNotAFile
	}
	file, err := root.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	before, err := file.Stat()
	switch {
	case err != nil:
		return nil, err
	case !before.Mode().IsRegular():
		return nil, ErrNotAFile
	case before.Size() > most:
		return nil, &TooLargeError{before.Size(), most}
	}
	data := make([]byte, before.Size())
	n, err := io.ReadFull(file, data)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	if n < len(data) {
		return nil, ErrChanged
	}
	if more, _ := file.Read(make([]byte, 1)); more > 0 {
		return nil, ErrChanged
	}
	after, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, ErrChanged
	}
	return data, nil
}
