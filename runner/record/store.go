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

	"github.com/gofrs/flock"

	"mahlstick/runner/record/disk"
)

// Output is one file of a result.
type Output struct {
	Name string // relative to the job's folder, with forward slashes
	Data []byte
}

// Store is the folder logbook/ of a studio. Unfinished work is in its folder
// .mahlstick, which nobody else uses:
//
//	.mahlstick/JOB.lock     locked while a job's folder is written to
//	.mahlstick/JOB.making/  a new result or impression while it is written
//	.mahlstick/JOB.next/    a whole new result, whose files go into the job's
//	                        folder one by one, and the files that they replace
//
// A result counts from the moment when JOB.making is renamed to JOB.next. Then
// each file is exchanged in one step, where the system can; if the process is
// killed meanwhile, whoever takes the lock next completes the rest. The job's
// folder itself is never moved, since people save files of their own in it.
type Store struct {
	Dir  string // path of logbook/
	Disk disk.Disk
	// Wait is how long Lock waits for another process; 0 does not wait.
	Wait time.Duration
}

const workFolder = ".mahlstick"

// ErrNoFolder is returned if a file or a link has the name of a folder.
var ErrNoFolder = errors.New("is not a folder of the studio")

// Reserved reports whether no job may have this name, because its folder would be
// one that the logbook itself uses.
func Reserved(job string) bool {
	for part := range strings.SplitSeq(strings.ToLower(job), "/") {
		if part == Impressions || strings.HasPrefix(part, workFolder) || part == "index.html" {
			return true
		}
	}
	return false
}

// Impressions is the folder of a job's signed impressions.
const Impressions = "impressions"

// Locked is a job that no other process writes to until Unlock.
type Locked struct {
	store Store
	job   string
	lock  *flock.Flock
	kept  []Kept // when an interrupted run was completed
}

// escapeJob is the job's name as one word; unescapeJob is its inverse.
func escapeJob(job string) string { return strings.NewReplacer("%", "%25", "/", "%2f").Replace(job) }

func unescapeJob(escaped string) string {
	return strings.NewReplacer("%2f", "/", "%25", "%").Replace(escaped)
}

func (s Store) workPath(job, kind string) string {
	return filepath.Join(s.Dir, workFolder, escapeJob(job)+kind)
}

// Folder is the path of a job's folder.
func (s Store) Folder(job string) string { return filepath.Join(s.Dir, filepath.FromSlash(job)) }

// Lock locks the job, and completes or undoes what a killed run left. Two jobs share
// a lock if one is in the other's folder.
func (s Store) Lock(job string) (*Locked, error) {
	if Reserved(job) {
		return nil, fmt.Errorf("no job can be called %q: the logbook uses that name itself", job)
	}
	if err := s.inside(workFolder, job); err != nil {
		return nil, err
	}
	if err := s.Disk.Make(filepath.Join(s.Dir, workFolder)); err != nil {
		return nil, err
	}
	// Version control must not keep unfinished work.
	ignore := filepath.Join(s.Dir, workFolder, ".gitignore")
	if !disk.Exists(ignore) {
		if err := s.Disk.Write(ignore, []byte("*\n")); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
	}
	first, _, _ := strings.Cut(job, "/")
	lock, err := lockFile(s.workPath(first, ".lock"), s.Wait)
	if err != nil {
		return nil, err
	}
	l := &Locked{store: s, job: job, lock: lock}
	if l.kept, err = s.completeAll(first, job); err != nil {
		return nil, errors.Join(fmt.Errorf("after an interrupted run: %w", err), lock.Close())
	}
	return l, nil
}

// Unlock releases the lock.
func (l *Locked) Unlock() error { return l.lock.Close() }

// inside refuses a logbook, or folders in it, that are links: the files would be
// written elsewhere.
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
				return fmt.Errorf("%s %w; replace it by a real folder: a logbook is not written through links", full, ErrNoFolder)
			}
		}
	}
	return nil
}

// completeAll completes or undoes what killed runs left of all jobs whose name has
// this first part. kept lists only files of the one job.
func (s Store) completeAll(first, job string) (kept []Kept, err error) {
	jobs, err := s.interrupted()
	if err != nil {
		return nil, err
	}
	for _, j := range jobs {
		if outer, _, _ := strings.Cut(j, "/"); outer != first {
			continue
		}
		if err := s.inside(j); err != nil {
			return kept, err
		}
		more, err := (&Locked{store: s, job: j}).complete()
		if j == job {
			kept = more
		}
		if err != nil {
			return kept, err
		}
	}
	return kept, nil
}

// interrupted lists the jobs that have unfinished work.
func (s Store) interrupted() ([]string, error) {
	entries, err := os.ReadDir(filepath.Join(s.Dir, workFolder))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var jobs []string
	for _, e := range entries {
		for _, kind := range []string{makingSuffix, nextSuffix} {
			name, ok := strings.CutSuffix(e.Name(), kind)
			// Skip names that this package does not write.
			if job := unescapeJob(name); ok && escapeJob(job) == name && path.Clean(job) == job && filepath.IsLocal(job) && !Reserved(job) {
				jobs = append(jobs, job)
			}
		}
	}
	slices.Sort(jobs)
	return slices.Compact(jobs), err
}

const (
	makingSuffix = ".making"
	nextSuffix   = ".next"
)

// Recover completes or undoes what killed runs left, for every job that no process
// holds. Call it before the logbook is read.
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
