package record

import (
	"errors"
	"os"
	"path/filepath"

	"mahlstick/runner/record/disk"
)

// WriteShared replaces a file of the logbook that belongs to no job, under a
// lock of its own.
func (s Store) WriteShared(name string, data []byte) error {
	locked, err := s.Lock("." + name)
	if err != nil {
		return err
	}
	// Version control must not change line ends: every byte counts.
	if !disk.Exists(filepath.Join(s.Dir, attributes)) {
		err = s.writeShared(attributes, []byte("* -text\n"))
	}
	return errors.Join(err, s.writeShared(name, data), locked.Unlock())
}

const attributes = ".gitattributes"

func (s Store) writeShared(name string, data []byte) error {
	full := filepath.Join(s.Dir, name)
	fresh := s.workPath("."+name, ".file")
	// One that was killed may have left it, also where nothing is to be written now.
	if err := disk.RemoveAll(s.Disk, fresh); err != nil {
		return err
	}
	if old, err := os.ReadFile(full); err == nil && string(old) == string(data) {
		return nil
	}
	if err := s.Disk.Write(fresh, data); err != nil {
		return errors.Join(err, disk.RemoveAll(s.Disk, fresh))
	}
	return errors.Join(s.Disk.Rename(fresh, full), s.Disk.Sync(s.Dir))
}
