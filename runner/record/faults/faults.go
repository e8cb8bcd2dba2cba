// Package faults is a disk on which a chosen operation fails, for the tests
// of what writes to one.
package faults

import (
	"errors"
	"io/fs"
)

// Disk is the file operations that can be made to fail.
type Disk interface {
	Make(dir string) error
	Write(name string, data []byte) error
	Link(old, new string) error
	Rename(old, new string) error
	Exchange(a, b string) error
	Mode(dir string, mode fs.FileMode) error
	Remove(name string) error
	Sync(dir string) error
}

// ErrPlanted is the fault.
var ErrPlanted = errors.New("planted fault")

// Faulty fails the operation with number At, counted from 0. One that is Dead
// fails all that follow, too, as if the process had been killed before it.
type Faulty struct {
	Disk
	N, At int
	Dead  bool
	// NoExchange is answered to Exchange, as a system does that has none; nil
	// for one that has.
	NoExchange error
}

func (f *Faulty) step(do func() error) error {
	f.N++
	if f.N-1 == f.At || f.Dead && f.N-1 > f.At {
		return ErrPlanted
	}
	return do()
}

func (f *Faulty) Make(dir string) error {
	return f.step(func() error { return f.Disk.Make(dir) })
}

func (f *Faulty) Link(old, new string) error {
	return f.step(func() error { return f.Disk.Link(old, new) })
}

func (f *Faulty) Rename(old, new string) error {
	return f.step(func() error { return f.Disk.Rename(old, new) })
}

func (f *Faulty) Remove(name string) error {
	return f.step(func() error { return f.Disk.Remove(name) })
}

func (f *Faulty) Mode(dir string, mode fs.FileMode) error {
	return f.step(func() error { return f.Disk.Mode(dir, mode) })
}

func (f *Faulty) Sync(dir string) error {
	return f.step(func() error { return f.Disk.Sync(dir) })
}

func (f *Faulty) Exchange(a, b string) error {
	if f.NoExchange != nil {
		return f.NoExchange
	}
	return f.step(func() error { return f.Disk.Exchange(a, b) })
}

// Write leaves half of a file behind when it fails, as a full disk does.
func (f *Faulty) Write(name string, data []byte) error {
	whole := false
	err := f.step(func() error { whole = true; return f.Disk.Write(name, data) })
	if !whole {
		_ = f.Disk.Write(name, data[:len(data)/2])
	}
	return err
}
