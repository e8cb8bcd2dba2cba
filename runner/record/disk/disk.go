// Package disk is the file operations that a result is written with.
package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Disk writes files and folders. Tests use one that fails at a chosen
// operation, or that counts.
type Disk interface {
	// Make creates a folder and those above it.
	Make(dir string) error
	// Write creates a new file with the data and waits until it is on the
	// medium.
	Write(name string, data []byte) error
	// Rename moves a file or a folder to a name that is free, or a file over
	// a file.
	Rename(old, new string) error
	// Exchange swaps two files or folders in one step. The error is
	// ErrNoExchange where the system cannot.
	Exchange(a, b string) error
	// Remove deletes a file or an empty folder.
	Remove(name string) error
	// Sync waits until the names in a folder are on the medium.
	Sync(dir string) error
}

// ErrNoExchange is the error of a system or a file system that cannot swap two
// files in one step.
var ErrNoExchange = errors.New("this system cannot exchange two files in one step")

// System is the disk of this computer.
type System struct{}

// Make creates a folder and those above it.
func (System) Make(dir string) error { return os.MkdirAll(dir, 0o755) }

// Write creates a file and waits until it is on the medium.
func (System) Write(name string, data []byte) error {
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

// Rename moves a file or a folder.
func (System) Rename(old, new string) error { return os.Rename(old, new) }

// Exchange swaps two files.
func (System) Exchange(a, b string) error { return exchange(a, b) }

// Remove deletes a file or an empty folder.
func (System) Remove(name string) error { return os.Remove(name) }

// Sync waits until the names in a folder are on the medium.
func (System) Sync(dir string) error { return syncFolder(dir) }

// Exists is true where there is something under the name, be it a link.
func Exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// RemoveAll deletes a folder and all that is in it, one operation at a time,
// so that a disk that fails can fail at each of them.
func RemoveAll(d Disk, name string) error {
	info, err := os.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if info.IsDir() {
		entries, err := os.ReadDir(name)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := RemoveAll(d, filepath.Join(name, e.Name())); err != nil {
				return err
			}
		}
	}
	return d.Remove(name)
}
