// Package impression freezes a run as a numbered impression, checks that every
// frozen file is still as it was signed, and compares the frozen files with
// those that the same inputs make again.
//
// An impression is a folder JOB/impressions/NN of the logbook: the programs,
// the page, the painting and the record, and below inputs/ every file that was
// read, under its path in the studio. No file in it is ever changed.
package impression

import (
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"mahlstick/runner/record"
)

const (
	// Inputs is the folder of the files that the job read.
	Inputs = "inputs"
	// AsRun is the folder of the run as it was found, where it differs from
	// what was signed.
	AsRun = "as-run"
)

// Name is the name of an impression's folder: its number in two digits or more.
func Name(number int) string { return fmt.Sprintf("%02d", number) }

// Number is the number of an impression's folder, 0 for other names.
func Number(name string) int {
	n, err := strconv.Atoi(name)
	if err != nil || n < 1 || Name(n) != name {
		return 0
	}
	return n
}

// ID names an impression: a job and a number.
type ID struct {
	Job    string
	Number int
	// GapEnd is the last number of a gap: the impressions from Number to GapEnd are
	// missing, though there are later ones. It is 0 for an impression that is
	// there.
	GapEnd int
}

func (id ID) String() string {
	text := id.Job + "/" + Name(id.Number)
	if id.GapEnd > id.Number {
		text += " to " + Name(id.GapEnd)
	}
	return text
}

// Folder is the impression's folder below the logbook, with forward slashes.
func (id ID) Folder() string { return path.Join(id.Job, record.Impressions, Name(id.Number)) }

// List returns the numbers of a job's impressions, ascending, including those whose
// folder was replaced by something else. folder is the job's folder.
func List(folder string) ([]int, error) {
	entries, err := os.ReadDir(filepath.Join(folder, record.Impressions))
	if os.IsNotExist(err) {
		return nil, nil
	}
	var numbers []int
	for _, e := range entries {
		if n := Number(e.Name()); n > 0 {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	return numbers, err
}

// Next is the number of the next impression: one more than the highest, so that no
// number is used twice.
func Next(folder string) (int, error) {
	numbers, err := List(folder)
	if len(numbers) == 0 {
		return 1, err
	}
	last := numbers[len(numbers)-1]
	if last >= maxNumber {
		return 0, fmt.Errorf("impression %d exists, and that is the highest number", last)
	}
	return last + 1, err
}

// maxNumber is the highest number of an impression.
const maxNumber = 999_999

// OfJob lists a job's impressions by number, and the gaps between them.
func OfJob(dir, job string) ([]ID, error) {
	numbers, err := List(filepath.Join(dir, filepath.FromSlash(job)))
	var ids []ID
	last := 0
	for _, n := range numbers {
		if n > last+1 {
			ids = append(ids, ID{job, last + 1, n - 1})
		}
		ids = append(ids, ID{Job: job, Number: n})
		last = n
	}
	return ids, err
}

// All lists every impression of a logbook by job and number, and the gaps between
// them. Folders that cannot be read are reported as an error; the other impressions
// are still listed.
func All(dir string) ([]ID, error) {
	var all []ID
	var unread []error
	_ = filepath.WalkDir(dir, func(name string, e os.DirEntry, err error) error {
		if err != nil {
			if !os.IsNotExist(err) { // it may have been removed meanwhile
				unread = append(unread, err)
			}
			return nil
		}
		if info, err := os.Stat(name); e.Type()&os.ModeSymlink != 0 && err == nil && info.IsDir() {
			unread = append(unread, fmt.Errorf("%s is a link to a folder; replace it by a real folder: a logbook is not read through links", name))
		}
		if !e.IsDir() {
			return nil
		}
		if strings.HasPrefix(e.Name(), ".") && name != dir {
			return filepath.SkipDir
		}
		if e.Name() != record.Impressions {
			return nil
		}
		job, err := filepath.Rel(dir, filepath.Dir(name))
		if err == nil {
			var ids []ID
			ids, err = OfJob(dir, filepath.ToSlash(job))
			all = append(all, ids...)
		}
		if err != nil {
			unread = append(unread, err)
		}
		return filepath.SkipDir
	})
	slices.SortStableFunc(all, func(a, b ID) int { return strings.Compare(a.Job, b.Job) })
	return all, errors.Join(unread...)
}

// Freeze lists the files of an impression: the outputs with the record, the inputs
// below inputs/, and the run as it was found, if it differs, below as-run/.
func Freeze(outputs, inputs, asFound []record.Output) []record.Output {
	files := slices.Clone(outputs)
	for _, in := range inputs {
		files = append(files, record.Output{Name: path.Join(Inputs, in.Name), Data: in.Data})
	}
	for _, o := range asFound {
		files = append(files, record.Output{Name: path.Join(AsRun, o.Name), Data: o.Data})
	}
	return files
}
