package runner_test

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/impression"
)

// Repeats are told in the order of the list, however many work at them, and
// every one is told once.
func TestRepeatAll(t *testing.T) {
	studio, recipe := pond(t)
	mustSign(t, recipe, 9)
	logbook := filepath.Join(studio, "logbook")
	if err := os.RemoveAll(filepath.Join(logbook, "pond", "impressions", "04")); err != nil {
		t.Fatal(err)
	}
	ids, err := impression.All(logbook)
	if err != nil || len(ids) != 9 || ids[3].Gone != 4 {
		t.Fatal(ids, err)
	}
	for _, workers := range []int{1, 2, 5, 50} {
		var told, counts []string
		runner.RepeatAll(logbook, ids, workers, func(n int) { counts = append(counts, fmt.Sprint(n)) }, func(r *runner.Repeat) {
			told = append(told, r.ID.String())
			if r.Gone != (r.ID.Number == 4) || r.Tampered() != r.Gone || r.Differs() || r.Err != nil {
				t.Errorf("%s: %+v", r.ID, r)
			}
		})
		if got := strings.Join(told, " "); got != "pond/01 pond/02 pond/03 pond/04 pond/05 pond/06 pond/07 pond/08 pond/09" {
			t.Errorf("%d workers: told %s", workers, got)
		}
		if got := strings.Join(counts, " "); got != "1 2 3 4 5 6 7 8 9" {
			t.Errorf("%d workers: counted %s", workers, got)
		}
	}
	runner.RepeatAll(logbook, nil, 3, nil, func(*runner.Repeat) { t.Error("told of nothing") })
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
