package runner

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// ErrNotRun says that there is nothing to sign.
var ErrNotRun = errors.New("the recipe has not been run")

// Unsound says why a run is not signed without a reason given.
type Unsound struct {
	// Stale tells how what was run differs from what the recipe gives now.
	Stale []string
	// Changed are files of the run that were changed since it was made.
	Changed []string
	// Failed are the rules that a program breaks.
	Failed []string
}

func (u *Unsound) Error() string { return "the run cannot be signed as it is" }

func (u *Unsound) all() []string { return slices.Concat(u.Changed, u.Stale, u.Failed) }

// Sign freezes the run as the job's next impression: inputs, programs, page
// and record. What was run must be what the recipe gives now, and every
// program must keep its rules; a reason in despite overrules both and is
// recorded. Then what stood in the job's folder is kept beside it, where it
// is something else.
//
// The list holds what is wrong with the recipe, such as an edition that is
// full. Nothing is written unless the whole impression is; a
// *record.PostCommitError says that it stands though something failed after it.
func (r *Result) Sign(store record.Store, despite string) (impression.ID, problem.List, error) {
	if _, err := os.Stat(store.Dir); errors.Is(err, fs.ErrNotExist) {
		return impression.ID{}, nil, ErrNotRun // the lock would make the folder
	}
	locked, err := store.Lock(r.Job.Name)
	if err != nil {
		return impression.ID{}, nil, err
	}
	id, problems, err := r.sign(store, locked, despite)
	if err := errors.Join(err, locked.Unlock()); err != nil || problems.HasErrors() {
		return id, problems, err
	}
	return id, nil, updateIndex(store, r.Studio)
}

func (r *Result) sign(store record.Store, locked *record.Locked, despite string) (impression.ID, problem.List, error) {
	id := impression.ID{Job: r.Job.Name}
	folder := store.Folder(r.Job.Name)
	run, err := impression.LoadRun(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return id, nil, ErrNotRun
	}
	if err != nil {
		return id, nil, err
	}
	unsound := r.unsound(run)
	if len(unsound.all()) > 0 && despite == "" {
		return id, nil, unsound
	}
	if id.Number, err = impression.Next(folder); err != nil {
		return id, nil, err
	}
	if full := r.full(id.Number); full != nil {
		return id, full, nil
	}
	signed := &record.Impression{Number: id.Number, Edition: r.Job.Edition}
	var asRun []record.Output
	if because := unsound.all(); len(because) > 0 {
		signed.Despite, signed.Because = despite, because
		asRun = whatWasRun(run)
	}
	var beside []record.Output
	for _, o := range asRun {
		beside = append(beside, record.Output{Name: path.Join(impression.AsRun, o.Name), Data: o.Data})
	}
	if err := r.present(signed, beside...); err != nil {
		return id, nil, err
	}
	name := path.Join(record.Impressions, impression.Name(id.Number))
	return id, nil, locked.Add(name, impression.Freeze(r.Outputs, filesAsRead(r.inputs), asRun))
}

// filesAsRead are files byte for byte.
func filesAsRead(files []*source.File) []record.Output {
	var out []record.Output
	for _, f := range files {
		out = append(out, record.Output{Name: f.Name, Data: f.Data})
	}
	return out
}

// unsound holds what was run against what the recipe gives now.
func (r *Result) unsound(run *impression.Frozen) *Unsound {
	u := &Unsound{}
	for _, c := range run.Changed {
		u.Changed = append(u.Changed, c.String())
	}
	if run.Record != nil {
		if run.Record.Recipe != r.Record.Recipe {
			u.Stale = append(u.Stale, fmt.Sprintf("what was run is %s", run.Record.Recipe))
		}
		u.Stale = append(u.Stale, impression.Stale(run, r.Outputs, r.Record)...)
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

// whatWasRun are the files of the run as they stand, those too that somebody
// changed since, for the sheet may have been painted with them; its record
// among them.
func whatWasRun(run *impression.Frozen) []record.Output {
	var out []record.Output
	if run.Record == nil {
		return nil
	}
	for _, o := range run.Record.Outputs {
		data, ok := run.Outputs[o.Name]
		if !ok {
			data, ok = run.Altered[o.Name]
		}
		if ok {
			out = append(out, record.Output{Name: o.Name, Data: data})
		}
	}
	return append(out, record.Output{Name: record.RecordName, Data: run.Raw})
}

// full tells when the edition holds no further number.
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
	problems.Errorf(problem.EditionFull, at, problem.Write(strconv.Itoa(number)),
		"the edition of %d is full: impression %d was signed. To enlarge it, state the new size, run the recipe, and sign again", size, number-1)
	return problems
}

// LogbookOf is the store of a studio's logbook.
func LogbookOf(studio string) record.Store {
	return record.Store{Dir: filepath.Join(studio, "logbook"), Disk: record.System}
}
