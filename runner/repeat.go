package runner

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// Repeat is an impression made again.
type Repeat struct {
	ID impression.ID
	// Gone is true where the impression is missing.
	Gone   bool
	Frozen *impression.Frozen
	// Comparison is nil where the frozen inputs could not be evaluated.
	Comparison *impression.Comparison
	// Problems lists the errors of the frozen inputs, "" for none.
	Problems string
	// Why is what is known of the reason, where there is no comparison.
	Why string
	Err error // about the disk
}

// Tampered is true where the signed files are not as they were signed, or not at
// their place.
func (r *Repeat) Tampered() bool {
	return r.Gone || r.Frozen != nil && !r.Frozen.Whole() || r.Misplaced() != ""
}

// Misplaced is the name of another impression that was copied or moved to the
// place of this one, "" where there is none.
func (r *Repeat) Misplaced() string {
	if r.Frozen == nil || r.Frozen.Record == nil {
		return ""
	}
	rec := r.Frozen.Record
	switch {
	case rec.Impression == nil:
		return "a run that was not signed"
	case rec.Job != r.ID.Job || rec.Impression.Number != r.ID.Number:
		return impression.ID{Job: rec.Job, Number: rec.Impression.Number}.String()
	}
	return ""
}

// Differs is true where the impression is not reproduced.
func (r *Repeat) Differs() bool {
	return r.Problems != "" || r.Comparison != nil && !r.Comparison.Same()
}

// RepeatAll evaluates the impressions of a logbook again, workers of them side
// by side, and reports each in the order of the list. The memory that it needs
// grows with the workers, not with the list. done is called with the number
// evaluated so far; it may be nil. Neither function is called from two
// goroutines at once.
func RepeatAll(logbook string, ids []impression.ID, workers int, done func(n int), report func(*Repeat)) {
	workers = max(1, min(workers, len(ids)))
	coresEach := 1
	if len(ids) == 1 {
		coresEach = 0 // a single impression gets all cores
	}
	var callback sync.Mutex
	count := 0
	evaluated := func() {
		callback.Lock()
		defer callback.Unlock()
		count++
		if done != nil {
			done(count)
		}
	}
	// The results in the order of the list, each in a channel of its own.
	results := make(chan chan *Repeat, workers*maxAhead)
	go func() {
		defer close(results)
		var pool errgroup.Group
		pool.SetLimit(workers)
		for _, id := range ids {
			result := make(chan *Repeat, 1)
			results <- result
			pool.Go(func() error {
				r := RepeatOne(logbook, id, coresEach)
				evaluated()
				result <- r
				return nil
			})
		}
	}()
	for result := range results {
		r := <-result
		callback.Lock()
		report(r)
		callback.Unlock()
	}
}

// maxAhead bounds how many results a worker gets ahead of one that takes long.
const maxAhead = 16

// RepeatOne evaluates one impression again, on so many cores; 0 is all of them.
func RepeatOne(logbook string, id impression.ID, workers int) *Repeat {
	r := &Repeat{ID: id}
	dir := filepath.Join(logbook, filepath.FromSlash(id.Folder()))
	if info, err := os.Lstat(dir); err == nil && !info.IsDir() {
		r.Frozen = &impression.Frozen{Changed: []impression.Change{{What: "is no longer a folder"}}}
		return r
	}
	frozen, err := impression.Load(dir)
	if id.GapEnd > 0 || errors.Is(err, fs.ErrNotExist) {
		r.Gone = true
		return r
	}
	if err != nil {
		r.Err = err
		return r
	}
	r.Frozen = &impression.Frozen{Record: frozen.Record, Changed: frozen.Changed, Added: frozen.Added}
	if frozen.Record == nil || len(frozen.Inputs) < len(frozen.Record.Inputs) {
		return r // there is nothing whole to evaluate
	}
	// What is evaluated is what was read and held against the record, from
	// memory: nothing else can come in.
	studio := &recipe.Studio{Dir: dir, FS: frozen.Inputs.FS()}
	again, problems, err := RunIn(studio, frozen.Record.Recipe, Options{Workers: workers, Impression: frozen.Record.Impression})
	switch {
	case err != nil:
		r.Err = err
	case problems.HasErrors():
		var text strings.Builder
		r.Err = problem.Print(&text, problems.Sorted())
		r.Problems = text.String()
		r.Why = impression.Why(frozen.Record, record.Engine, record.Version)
	default:
		r.Comparison = impression.Compare(frozen, again.Outputs, again.Record)
	}
	return r
}
