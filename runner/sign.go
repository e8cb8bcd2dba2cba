package runner

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
	"mahlstick/runner/record/disk"
)

// ErrNotRun is the error of signing a recipe that has not been run.
var ErrNotRun = errors.New("the recipe has not been run")

// Unsound lists why a run is not signed without a reason.
type Unsound struct {
	// OutOfDate lists how the run differs from what the recipe makes now.
	OutOfDate []string
	// Changed lists files of the run that were changed since. They alone do
	// not prevent signing, unless the record is one of them.
	Changed []string
	// Failed lists the rules that a program breaks.
	Failed []string

	recordChanged bool
}

func (u *Unsound) Error() string { return "the run cannot be signed as it is" }

func (u *Unsound) all() []string { return slices.Concat(u.Changed, u.OutOfDate, u.Failed) }

func (u *Unsound) refuses() bool {
	return len(u.OutOfDate) > 0 || len(u.Failed) > 0 || u.recordChanged
}

// Signed is an impression that was just written.
type Signed struct {
	impression.ID
	// Kept are files that were changed by hand after the run: they were renamed,
	// and the files of the run are in their places again.
	Kept []record.Kept
}

// Sign freezes the run as the job's next impression: inputs, programs, page
// and record. The run must be what the recipe makes now, and every program must
// keep its rules; a reason in despite overrules both and is recorded. Where
// something differs, the impression also holds the run as it was found.
//
// The list holds problems of the recipe, such as an edition that is full.
// Nothing is written unless the whole impression is. After a
// *record.PostCommitError it is written.
func (r *Result) Sign(store record.Store, despite string) (Signed, problem.List, error) {
	recordFile := filepath.Join(store.Folder(r.Job.Name), record.RecordName)
	if _, err := os.Lstat(recordFile); errors.Is(err, fs.ErrNotExist) && store.Recover() == nil {
		if _, err := os.Lstat(recordFile); errors.Is(err, fs.ErrNotExist) {
			return Signed{}, nil, ErrNotRun // the lock would make the folder
		}
	}
	locked, err := store.Lock(r.Job.Name)
	if err != nil {
		return Signed{}, nil, err
	}
	signed, problems, err := r.sign(store, locked, despite)
	if err := errors.Join(err, locked.Unlock()); err != nil || problems.HasErrors() {
		return signed, problems, err
	}
	return signed, nil, updateIndex(store, r.Studio)
}

func (r *Result) sign(store record.Store, locked *record.Locked, despite string) (Signed, problem.List, error) {
	id := Signed{ID: impression.ID{Job: r.Job.Name}}
	folder := store.Folder(r.Job.Name)
	run, err := impression.LoadRun(folder)
	if err != nil {
		return id, nil, err
	}
	unsound := r.unsound(run)
	if unsound.refuses() && despite == "" {
		return id, nil, unsound
	}
	if id.Number, err = impression.Next(folder); err != nil {
		return id, nil, err
	}
	if full := r.full(id.Number); full != nil {
		return id, full, nil
	}
	signed := &record.Impression{Number: id.Number, Edition: r.Job.Edition}
	resumed, otherwise, err := resumedIn(r, folder)
	if err != nil {
		return id, nil, err
	}
	unsigned := slices.Clone(r.Outputs)
	for _, p := range resumed {
		addPart(r, p)
		signed.Resumed = append(signed.Resumed, p.File)
	}
	var found []record.Output
	if because := unsound.all(); len(because) > 0 {
		signed.Despite, signed.Because = despite, because
		found = asFound(run)
	}
	for _, o := range otherwise {
		signed.Because = append(signed.Because, o.Name+" is not what the recipe makes now")
		found = append(found, o)
	}
	var asRun []record.Output
	for _, o := range found {
		asRun = append(asRun, record.Output{Name: path.Join(impression.AsRun, o.Name), Data: o.Data})
	}
	if err := r.present(signed, asRun...); err != nil {
		return id, nil, err
	}
	name := path.Join(record.Impressions, impression.Name(id.Number))
	err = locked.Add(name, impression.Freeze(r.Outputs, filesAsRead(r.inputs), found))
	if err == nil && len(unsound.Changed) > 0 && !unsound.refuses() {
		if id.Kept, err = locked.Replace(unsigned); err != nil {
			err = &record.PostCommitError{Err: err}
		}
	}
	return id, nil, err
}

// filesAsRead are files byte for byte.
func filesAsRead(files []*source.File) []record.Output {
	var out []record.Output
	for _, f := range files {
		out = append(out, record.Output{Name: f.Name, Data: f.Data})
	}
	return out
}

// unsound compares the run with what the recipe makes now.
func (r *Result) unsound(run *impression.Frozen) *Unsound {
	u := &Unsound{recordChanged: run.Record == nil}
	for _, c := range run.Changed {
		u.Changed = append(u.Changed, c.String())
	}
	if run.Record != nil {
		if run.Record.Recipe != r.Record.Recipe {
			u.OutOfDate = append(u.OutOfDate, fmt.Sprintf("the run is of %s", run.Record.Recipe))
		}
		u.OutOfDate = append(u.OutOfDate, impression.OutOfDate(run, r.Outputs, r.Record)...)
		for _, c := range run.Record.Checks {
			if !c.OK {
				u.Failed = append(u.Failed, fmt.Sprintf("%s, when it was run: %s: found %s, allowed %s", c.Program, c.Rule, c.Found, c.Allowed))
			}
		}
	}
	for _, c := range r.Checks {
		if !c.OK {
			u.Failed = append(u.Failed, fmt.Sprintf("%s: %s: found %s, allowed %s", c.Program, c.Name, c.Found, c.Allowed))
		}
	}
	return u
}

// asFound are the files of the run as they are now, changed ones included, for
// the sheet may have been painted with them; its record among them.
func asFound(run *impression.Frozen) []record.Output {
	var out []record.Output
	if run.Record == nil {
		return nil
	}
	for _, o := range run.Record.Outputs {
		data, ok := run.Outputs[o.Name]
		if !ok {
			data, ok = run.ChangedOutputs[o.Name]
		}
		if ok {
			out = append(out, record.Output{Name: o.Name, Data: data})
		}
	}
	return append(out, record.Output{Name: record.RecordName, Data: run.Raw})
}

// full is the problem of an edition that has no further number.
func (r *Result) full(number int) problem.List {
	size := r.Job.Edition
	if size == 0 || number <= size {
		return nil
	}
	at := source.Place{}
	for _, f := range r.Job.Facts {
		if f.Word == "edition" && f.Place.Known() {
			at = f.Place
		}
	}
	var problems problem.List
	problems.Errorf(problem.EditionFull, at, problem.Advise("to enlarge the edition, write its new size, run the recipe, and sign again"),
		"the edition of %d is complete: impression %d is signed", size, number-1)
	return problems
}

// LogbookOf is the store of a studio's logbook.
func LogbookOf(studio string) record.Store {
	return record.Store{Dir: filepath.Join(studio, "logbook"), Disk: disk.System{}}
}
