// Package faults is a disk on which a chosen operation fails, for the tests
// of code that writes to a disk.
package faults

import (
	"errors"

	"mahlstick/runner/record/disk"
)

// ErrPlanted is the fault.
var ErrPlanted = errors.New("planted fault")

// Faulty fails the operation with number At, counted from 0. If it is Dead, all
// later ones fail too, as if the process had been killed before it. With At
// below 0 it only counts.
type Faulty struct {
	disk.Disk
	N, At int
	Dead  bool
	// NoExchange makes it a system that cannot exchange files.
	NoExchange bool
	// Before is called before each operation with its number; it may be nil.
	Before func(n int)
}

func (f *Faulty) step(do func() error) error {
	if f.Before != nil {
		f.Before(f.N)
	}
	f.N++
	if f.N-1 == f.At || f.Dead && f.N-1 > f.At {
		return ErrPlanted
	}
	return do()
}

// Make creates a folder.
func (f *Faulty) Make(dir string) error {
	return f.step(func() error { return f.Disk.Make(dir) })
}

// Rename moves a file or a folder.
func (f *Faulty) Rename(old, new string) error {
	return f.step(func() error { return f.Disk.Rename(old, new) })
}

// Remove deletes a file or an empty folder.
func (f *Faulty) Remove(name string) error {
	return f.step(func() error { return f.Disk.Remove(name) })
}

// Sync waits for the medium.
func (f *Faulty) Sync(dir string) error {
	return f.step(func() error { return f.Disk.Sync(dir) })
}

// Exchange swaps two files.
func (f *Faulty) Exchange(a, b string) error {
	if f.NoExchange {
		return disk.ErrNoExchange
	}
	return f.step(func() error { return f.Disk.Exchange(a, b) })
}

// Write leaves half of a file behind when it fails, as a full disk does.
func (f *Faulty) Write(name string, data []byte) error {
	whole := false
	err := f.step(func() error { whole = true; return f.Disk.Write(name, data) })
	if !whole && !(f.Dead && f.N-1 > f.At) {
		_ = f.Disk.Write(name, data[:len(data)/2])
	}
	return err
}
