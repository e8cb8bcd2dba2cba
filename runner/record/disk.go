package record

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Disk is the file operations that writing a result is made of. Tests put a
// disk in its place that fails or stops at a chosen operation.
type Disk interface {
	// Make creates a folder and those above it.
	Make(dir string) error
	// Write creates a new file with the data and waits until it is on the
	// medium.
	Write(name string, data []byte) error
	// Link gives the file old a second name, by a hard link where the file
	// system has them, else by a copy.
	Link(old, new string) error
	// Rename moves a file or a folder to a name that is free, or a file over
	// a file.
	Rename(old, new string) error
	// Exchange swaps two folders in one step; it answers ErrNoExchange where
	// the system cannot.
	Exchange(a, b string) error
	// Mode sets who may read and write a folder.
	Mode(dir string, mode fs.FileMode) error
	// Remove deletes a file or an empty folder.
	Remove(name string) error
	// Sync waits until the names in a folder are on the medium.
	Sync(dir string) error
}

// ErrNoExchange says that this system or file system cannot swap two folders
// in one step.
var ErrNoExchange = errors.New("folders cannot be exchanged in one step here")

// System is the disk of the machine.
var System Disk = system{}

type system struct{}

func (system) Make(dir string) error { return os.MkdirAll(dir, 0o755) }

func (system) Write(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

func (d system) Link(old, new string) error {
	info, err := os.Lstat(old)
	if err != nil {
		return err
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		to, err := os.Readlink(old)
		if err != nil {
			return err
		}
		return os.Symlink(to, new)
	}
	if err := os.Link(old, new); err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	data, err := os.ReadFile(old)
	if err != nil {
		return err
	}
	return d.Write(new, data)
}

func (system) Rename(old, new string) error { return os.Rename(old, new) }

func (system) Exchange(a, b string) error { return exchange(a, b) }

func (system) Mode(dir string, mode fs.FileMode) error { return os.Chmod(dir, mode) }

func (system) Remove(name string) error { return os.Remove(name) }

func (system) Sync(dir string) error { return syncFolder(dir) }

// exists says whether something stands under the name, without following a
// link.
func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// removeAll deletes a folder and all that is in it, step by step, so that a
// disk that stops can stop anywhere.
func removeAll(d Disk, name string) error {
	info, err := os.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if info.IsDir() {
		if mode := info.Mode().Perm(); mode&0o700 != 0o700 { // somebody protects what is in it
			if err := d.Mode(name, mode|0o700); err != nil {
				return err
			}
		}
		entries, err := os.ReadDir(name)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := removeAll(d, filepath.Join(name, e.Name())); err != nil {
				return err
			}
		}
	}
	return d.Remove(name)
}
