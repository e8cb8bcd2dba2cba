package runner_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"mahlstick/runner"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// Repeats are reported in the order of the list, however many work at them, and
// each is reported once.
func TestRepeatAll(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 9)
	logbook := filepath.Join(studio, "logbook")
	if err := os.RemoveAll(filepath.Join(logbook, "pond", "impressions", "04")); err != nil {
		t.Fatal(err)
	}
	ids, err := impression.All(logbook)
	if err != nil || len(ids) != 9 || ids[3].GapEnd != 4 {
		t.Fatal(ids, err)
	}
	for _, workers := range []int{1, 2, 5, 50} {
		var reported, counts []string
		runner.RepeatAll(logbook, ids, workers, func(n int) { counts = append(counts, fmt.Sprint(n)) }, func(r *runner.Repeat) {
			reported = append(reported, r.ID.String())
			if r.Gone != (r.ID.Number == 4) || r.Tampered() != r.Gone || r.Differs() || r.Err != nil {
				t.Errorf("%s: %+v", r.ID, r)
			}
		})
		if got := strings.Join(reported, " "); got != "pond/01 pond/02 pond/03 pond/04 pond/05 pond/06 pond/07 pond/08 pond/09" {
			t.Errorf("%d workers: reported %s", workers, got)
		}
		if got := strings.Join(counts, " "); got != "1 2 3 4 5 6 7 8 9" {
			t.Errorf("%d workers: counted %s", workers, got)
		}
	}
	runner.RepeatAll(logbook, nil, 3, nil, func(*runner.Repeat) { t.Error("reported of nothing") })
}

// BenchmarkRepeat repeats 100 copies of the demo, on one core and on two.
func BenchmarkRepeat(b *testing.B) {
	studio, recipe := heron(b)
	mustSign(b, recipe, 100)
	logbook := filepath.Join(studio, "logbook")
	ids, err := impression.All(logbook)
	if err != nil || len(ids) != 100 {
		b.Fatal(ids, err)
	}
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers=%d", workers), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
			for b.Loop() {
				runner.RepeatAll(logbook, ids, workers, nil, func(r *runner.Repeat) {
					if r.Err != nil || r.Tampered() || r.Differs() {
						b.Fatalf("%s: %+v", r.ID, r)
					}
				})
			}
			b.ReportMetric(float64(100*b.N)/b.Elapsed().Seconds(), "impressions/s")
		})
	}
}

// Impressions are repeated while a run of the same job writes and another
// impression is signed, again and again: none is ever found changed or missing.
func TestRepeatBesideRuns(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 2)
	slower := mustRun(t, recipe, runner.Options{})
	text, err := os.ReadFile(recipe)
	if err == nil {
		err = os.WriteFile(recipe, bytes.Replace(text, []byte("0.8 * 750"), []byte("0.6 * 750"), 1), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	results := [2]*runner.Result{slower, mustRun(t, recipe, runner.Options{})}
	store := runner.LogbookOf(studio)
	store.Wait = time.Minute
	var over atomic.Bool
	writes := make(chan int)
	go func() { writes <- writeUntil(t, store, results, &over) }()
	const repeats = 200
	reported := 0
	for n := range repeats {
		if err := store.Recover(); err != nil {
			t.Error(err)
		}
		ids, err := impression.All(store.Dir)
		if err != nil || len(ids) < 2 {
			t.Error(ids, err)
		}
		runner.RepeatAll(store.Dir, ids[n%2:n%2+1], 1, nil, func(r *runner.Repeat) {
			reported++
			if r.Err != nil || r.Tampered() || r.Differs() {
				t.Errorf("%s: %+v", r.ID, r)
			}
		})
	}
	over.Store(true)
	n := <-writes
	t.Logf("%d repeats beside %d runs", repeats, n)
	if reported != repeats || n < 20 {
		t.Errorf("%d repeats reported, %d runs", reported, n)
	}
}

// writeUntil writes two results of a job in turn, and signs now and then, until
// it is over; it is the number of runs.
func writeUntil(t *testing.T, store record.Store, results [2]*runner.Result, over *atomic.Bool) int {
	n := 0
	for ; !over.Load(); n++ {
		r := results[n%2]
		if _, err := r.Write(store); err != nil {
			t.Error(err)
		}
		if n%20 != 0 {
			continue
		}
		run := *r // signing turns the result into that of the impression
		run.Outputs = slices.Clone(r.Outputs)
		if _, _, err := run.Sign(store, ""); err != nil {
			t.Error(err)
		}
	}
	return n
}
