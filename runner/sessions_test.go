package runner_test

import (
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"mahlstick/runner"
)

var sessionsFlag = flag.Int("sessions", 9, "how many random jobs have ink that ends, wet strokes and a slow controller")

// Random jobs, each with brushes that are loaded again, strokes that must dry and a
// controller that reads few blocks a second, in one of the orders: from the text of the
// programs no load is exceeded, no stroke begins too early and no rule is broken, and
// all that is drawn is painted or refused. Of many jobs, those are left out for which
// -timeout leaves no time.
func TestSessions(t *testing.T) {
	var sum tallied
	t.Run("jobs", func(t *testing.T) {
		numbers := []int{9894} // its second layer has blunt strokes at the end of a load
		for number := 1; number <= *sessionsFlag; number++ {
			numbers = append(numbers, number)
		}
		for _, number := range numbers {
			t.Run(fmt.Sprint(number), func(t *testing.T) {
				t.Parallel()
				if end, ok := t.Deadline(); ok && time.Until(end) < time.Minute {
					t.Skip("no time left")
				}
				sum.begun.Add(1)
				sum.session(t, number)
			})
		}
	})
	t.Logf("%d jobs of %d, %d refused, %d reloads, %d pairs of strokes that touch", sum.jobs.Load(), *sessionsFlag, sum.begun.Load()-sum.jobs.Load(), sum.loads.Load(), sum.pairs.Load())
	if 10*sum.jobs.Load() < 9*sum.begun.Load() || sum.loads.Load() == 0 {
		t.Error("too few to show anything")
	}
}

// tallied is what sessions had in all.
type tallied struct{ begun, jobs, loads, pairs atomic.Int64 }

// session is one random job.
func (sum *tallied) session(t *testing.T, number int) {
	by := []string{"short", "as drawn", "written", "down", "away from the hand"}[number%5]
	entries := []string{"as drawn", "concealed", "longer"}[number/5%3]
	load, wet := float64(150+50*(number%7)), float64(5+10*(number%4))
	recipe := scribbled(t, number, entries, 0, 0)
	studio := filepath.Dir(filepath.Dir(recipe))
	rowBefore(t, studio, "| caliper |", fmt.Sprintf("| holds | %g mm² |", load))
	rowBefore(t, studio, "| decimals |", fmt.Sprintf("| blocks a second | %d |", 15+number%40))
	withoutOrder(t, recipe)
	withColumn(t, recipe, "order", by)
	withColumn(t, recipe, "wet", fmt.Sprintf("%g s", wet))
	r, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil || r == nil {
		t.Logf("%s: %v %v", by, err, problems)
		return
	}
	sum.jobs.Add(1)
	for _, c := range r.Checks {
		if !c.OK {
			t.Errorf("%s: %s: %s: found %s, allowed %s", by, c.Program, c.Name, c.Found, c.Allowed)
		}
	}
	for _, l := range r.Layers {
		what := by + " " + l.File
		if off := l.Plan.Drawn - l.Painted - l.Refused; math.Abs(off) > 1e-6 {
			t.Errorf("%s: %g mm² are neither painted nor refused", what, off)
		}
		sum.loads.Add(int64(checkLoads(t, what, l, load, true)))
		n, _ := checkWet(t, true, what, r, l, wet)
		sum.pairs.Add(int64(n))
	}
}
