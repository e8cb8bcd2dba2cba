package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Output is one file of a result.
type Output struct {
	Name string // relative to the job's folder, with forward slashes
	Data []byte
}

// Store is the folder logbook/ of a studio. All that is in the making stands
// in its folder .mahlstick, which is ours alone:
//
//	.mahlstick/JOB.lock     held while a job's folder is written to
//	.mahlstick/JOB.making/  the new folder while it is filled
//	.mahlstick/JOB.new/     the whole new folder before it takes its place,
//	                        or the old one just after
//	.mahlstick/JOB.old/     the folder that it replaces, until it is removed
//	.mahlstick/JOB.journal  says that JOB.new is whole and takes its place
//
// Where the system can exchange two folders in one step, that is what
// happens, and a reader sees the old folder or the new one at any moment.
// Elsewhere the journal is written first, and whoever takes the lock next
// completes what it says.
type Store struct {
	Dir  string // path of logbook/
	Disk Disk
	// Wait is how long Lock waits for another process; 0 does not wait.
	Wait time.Duration
}

const works = ".mahlstick"

// ErrNoFolder says that a file or a link stands where a folder must be.
var ErrNoFolder = errors.New("is not a folder of the studio")

// ErrLocked says that another run holds the job.
var ErrLocked = errors.New("another run is writing this job; wait for it or stop it")

// Locked is a job whose folder only we write to.
type Locked struct {
	store Store
	job   string
	lock  *os.File
}

// slot is the job's name as one word; jobOf undoes it.
func slot(job string) string { return strings.NewReplacer("%", "%25", "/", "%2f").Replace(job) }

func jobOf(slot string) string { return strings.NewReplacer("%2f", "/", "%25", "%").Replace(slot) }

func (s Store) work(job, kind string) string {
	return filepath.Join(s.Dir, works, slot(job)+kind)
}

// Folder is the path of a job's folder.
func (s Store) Folder(job string) string { return filepath.Join(s.Dir, filepath.FromSlash(job)) }

// Lock takes the job, completes or undoes what a killed run left behind, and
// gives the job to the caller until Unlock. Jobs that stand one inside the
// other's folder share a lock.
func (s Store) Lock(job string) (*Locked, error) {
	if Reserved(job) {
		return nil, fmt.Errorf("no job can be called %q: the logbook keeps that name for itself", job)
	}
	if err := s.inside(works, job); err != nil {
		return nil, err
	}
	if err := s.Disk.Make(filepath.Join(s.Dir, works)); err != nil {
		return nil, err
	}
	// What is in the making is nobody else's business.
	ignore := filepath.Join(s.Dir, works, ".gitignore")
	if !exists(ignore) {
		if err := s.Disk.Write(ignore, []byte("*\n")); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
	}
	first, _, _ := strings.Cut(job, "/")
	lock := s.work(first, ".lock")
	if info, err := os.Lstat(lock); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file; remove it", lock)
	}
	f, err := os.OpenFile(lock, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	for waited := time.Duration(0); ; waited += 20 * time.Millisecond {
		held, err := lockFile(f)
		if err == nil && !held {
			break
		}
		if err == nil && waited >= s.Wait {
			err = ErrLocked
		}
		if err != nil {
			return nil, errors.Join(err, f.Close())
		}
		time.Sleep(20 * time.Millisecond)
	}
	if err := s.recoverAll(first, f); err != nil {
		return nil, errors.Join(fmt.Errorf("after an interrupted run: %w", err), f.Close())
	}
	return &Locked{s, job, f}, nil
}

// inside refuses a logbook, or folders in it, that are links: what is written
// would land elsewhere.
func (s Store) inside(names ...string) error {
	for _, name := range names {
		full := s.Dir
		for _, part := range append([]string{"."}, strings.Split(name, "/")...) {
			full = filepath.Join(full, part)
			info, err := os.Lstat(full)
			if errors.Is(err, fs.ErrNotExist) {
				break
			}
			if err != nil {
				return err
			}
			if !info.IsDir() {
				return fmt.Errorf("%s %w; a logbook is written only where no link leads elsewhere", full, ErrNoFolder)
			}
		}
	}
	return nil
}

// recoverAll puts right what was left of the job and of those that stand in
// its folder: the outer ones first, since the inner ones stand in them.
func (s Store) recoverAll(first string, lock *os.File) error {
	jobs, err := s.interrupted()
	if err != nil {
		return err
	}
	for _, job := range jobs {
		if outer, _, _ := strings.Cut(job, "/"); outer != first {
			continue
		}
		if err := s.inside(job); err != nil {
			return err
		}
		if err := (&Locked{s, job, lock}).recover(); err != nil {
			return err
		}
	}
	return nil
}

// interrupted lists the jobs of which something is in the making.
func (s Store) interrupted() ([]string, error) {
	entries, err := os.ReadDir(filepath.Join(s.Dir, works))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var jobs []string
	for _, e := range entries {
		for _, kind := range []string{".making", ".new", ".old", ".journal"} {
			name, ok := strings.CutSuffix(e.Name(), kind)
			// Only what we can have written ourselves.
			if job := jobOf(name); ok && slot(job) == name && path.Clean(job) == job && filepath.IsLocal(job) && !Reserved(job) {
				jobs = append(jobs, job)
			}
		}
	}
	slices.Sort(jobs)
	return slices.Compact(jobs), err
}

// Recover completes or undoes what killed runs left behind, of every job that
// nobody holds. Whoever reads the logbook begins with it.
func (s Store) Recover() error {
	s.Wait = 0
	jobs, err := s.interrupted()
	for _, job := range jobs {
		l, err := s.Lock(job)
		if errors.Is(err, ErrLocked) {
			continue
		}
		if err != nil {
			return err
		}
		if err := l.Unlock(); err != nil {
			return err
		}
	}
	return err
}

// Unlock gives the job free. The lock's file stays, since removing it would
// let two runs hold two locks of one name.
func (l *Locked) Unlock() error { return l.lock.Close() }

// recover completes a replacement whose journal was written, and clears away
// one whose was not.
func (l *Locked) recover() error {
	d := l.store.Disk
	folder, fresh, old, journal := l.names()
	if exists(journal) {
		if exists(fresh) {
			if exists(folder) {
				if exists(old) { // cannot be ours: the journal is removed first
					return fmt.Errorf("%s is in the way; look into it, then remove it", old)
				}
				if err := d.Rename(folder, old); err != nil {
					return err
				}
			}
			if err := d.Rename(fresh, folder); err != nil {
				return err
			}
		}
		if err := errors.Join(d.Sync(filepath.Dir(folder)), d.Sync(filepath.Dir(fresh))); err != nil {
			return err
		}
		if err := d.Remove(journal); err != nil {
			return err
		}
	}
	if err := l.clear(old); err != nil {
		return err
	}
	if err := l.clear(fresh); err != nil {
		return err
	}
	// Half made: nothing but copies, and second names of what stays.
	return removeAll(d, l.making())
}

func (l *Locked) making() string { return l.store.work(l.job, ".making") }

func (l *Locked) names() (folder, fresh, old, journal string) {
	s := l.store
	return s.Folder(l.job), s.work(l.job, ".new"), s.work(l.job, ".old"), s.work(l.job, ".journal")
}

// clear removes a folder that was replaced. What somebody put into it while
// it was being replaced moves into the job's folder first.
func (l *Locked) clear(dir string) error {
	if !exists(dir) {
		return nil
	}
	folder := l.store.Folder(l.job)
	mine := l.mine(dir)
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if slices.Contains(mine, filepath.ToSlash(rel)) {
			return nil
		}
		to := filepath.Join(folder, rel)
		if exists(to) {
			return nil
		}
		if err := l.store.Disk.Make(filepath.Dir(to)); err != nil {
			return err
		}
		return l.store.Disk.Rename(name, to)
	})
	if err != nil {
		return err
	}
	return removeAll(l.store.Disk, dir)
}
