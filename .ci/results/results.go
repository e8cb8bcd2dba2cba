// Package results reads what runs left in a studio's logbook, for the programs
// here that kill and disturb runs.
package results

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// Job is a job of a studio.
type Job struct{ Studio, Name string }

// Folder is the path of the job's folder.
func (j Job) Folder() string { return filepath.Join(j.Studio, "logbook", filepath.FromSlash(j.Name)) }

// Files are the files in the job's folder with their SHA-256, without
// impressions.
func (j Job) Files() (map[string]string, error) {
	files := map[string]string{}
	dir := j.Folder()
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			if e.Name() == record.Impressions {
				return fs.SkipDir
			}
			return nil
		}
		data, err := os.ReadFile(name)
		files[name[len(dir):]] = record.Hash(data)
		return err
	})
	return files, err
}

// Unfinished lists what is left of runs that were interrupted. decided is true
// where a new result is whole and only a part of it is in its place.
func (j Job) Unfinished() (left []string, decided bool, err error) {
	left, err = filepath.Glob(filepath.Join(j.Studio, "logbook", ".mahlstick", "*.[mnf]*"))
	for _, name := range left {
		decided = decided || filepath.Ext(name) == ".next"
	}
	return left, decided, err
}

// Mixed is the first file that is neither as in one result nor as in the other,
// "" where there is none.
func Mixed(files, one, other map[string]string) string {
	for name, hash := range files {
		if hash != one[name] && hash != other[name] {
			return name
		}
	}
	return ""
}

// Whole is the error of the first impression that is not as signed.
func (j Job) Whole(numbers []int) error {
	for _, n := range numbers {
		frozen, err := impression.Load(filepath.Join(j.Folder(), record.Impressions, impression.Name(n)))
		if err == nil && !frozen.Whole() {
			err = fmt.Errorf("%v", frozen.Changed)
		}
		if err != nil {
			return fmt.Errorf("impression %d: %w", n, err)
		}
	}
	return nil
}

// Main runs a program of this folder and ends it with code 1 where it fails.
func Main(try func() error) {
	if err := try(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
