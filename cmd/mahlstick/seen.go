package main

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"

	"mahlstick/recipe"
)

// seen is a studio that remembers which files were looked for in it, missing
// ones included.
type seen struct {
	dir  string // the studio's folder on the disk
	root fs.FS

	lock   sync.Mutex
	stamps map[string]stamp // by name below the studio, as it was when it was first looked for
	others map[string]bool  // on the disk: where symbolic links lead
}

// stamp is the state of a file on the disk.
type stamp struct {
	there bool
	size  int64
	saved time.Time
}

func see(studio *recipe.Studio) *seen {
	return &seen{dir: studio.Dir, root: studio.FS, stamps: map[string]stamp{}, others: map[string]bool{}}
}

// stampOf looks at the disk itself: the studio is closed between two runs.
func (s *seen) stampOf(name string) stamp {
	info, err := os.Stat(s.path(name))
	if err != nil {
		return stamp{}
	}
	return stamp{true, info.Size(), info.ModTime()}
}

// note remembers a file, before it is read.
func (s *seen) note(name string) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if _, known := s.stamps[name]; known {
		return
	}
	s.stamps[name] = s.stampOf(name)
	// A file that is reached over a symbolic link is saved where it lies.
	if real, err := filepath.EvalSymlinks(s.path(name)); err == nil && real != s.path(name) {
		s.others[real] = true
	}
}

func (s *seen) path(name string) string { return filepath.Join(s.dir, filepath.FromSlash(name)) }

// changed lists the files whose state is not that of when they were looked
// for.
func (s *seen) changed() []string {
	var out []string
	for name, was := range s.stamps {
		if now := s.stampOf(name); now.there != was.there || now.size != was.size || !now.saved.Equal(was.saved) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// renew remembers the state of the files now.
func (s *seen) renew() {
	for name := range s.stamps {
		s.stamps[name] = s.stampOf(name)
	}
}

// files counts those that are there.
func (s *seen) files() int {
	n := 0
	for _, at := range s.stamps {
		if at.there {
			n++
		}
	}
	return n
}

// folders are those in which the files can change: their own, or if that does
// not exist the next one upwards.
func (s *seen) folders() []string {
	var out []string
	add := func(dir string) {
		for !isFolder(dir) && filepath.Dir(dir) != dir {
			dir = filepath.Dir(dir)
		}
		if !slices.Contains(out, dir) {
			out = append(out, dir)
		}
	}
	for name := range s.stamps {
		add(filepath.Dir(s.path(name)))
	}
	for real := range s.others {
		add(filepath.Dir(real))
	}
	slices.Sort(out)
	return out
}

func isFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err == nil && info.IsDir()
}

// concerns is true for an event about a file of the job: the file itself, or a
// folder above it that appears or disappears.
func (s *seen) concerns(e fsnotify.Event) bool {
	if !e.Has(fsnotify.Create | fsnotify.Write | fsnotify.Remove | fsnotify.Rename) {
		return false // permissions alone
	}
	// Some systems report a write of a folder when a file in it was written.
	appears := e.Has(fsnotify.Create | fsnotify.Remove | fsnotify.Rename)
	at := filepath.Clean(e.Name)
	for name := range s.stamps {
		whole := s.path(name)
		if whole == at || appears && strings.HasPrefix(whole, at+string(filepath.Separator)) {
			return true
		}
	}
	return s.others[at]
}

// Open opens a file and notes it.
func (s *seen) Open(name string) (fs.File, error) {
	s.note(path.Clean(name))
	return s.root.Open(name)
}

// Stat looks at a file and notes it.
func (s *seen) Stat(name string) (fs.FileInfo, error) {
	s.note(path.Clean(name))
	return fs.Stat(s.root, name)
}

// ReadDir lists a folder, which is only used to suggest names.
func (s *seen) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(s.root, name) }

// ReadLink and Lstat look at symbolic links.
func (s *seen) ReadLink(name string) (string, error) { return fs.ReadLink(s.root, name) }

// Lstat looks at a link itself.
func (s *seen) Lstat(name string) (fs.FileInfo, error) { return fs.Lstat(s.root, name) }
