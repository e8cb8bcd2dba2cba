package runner_test

import (
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
)

var sessionsFlag = flag.Int("sessions", 9, "how many random jobs have ink that ends, wet strokes and a slow controller")

// Random jobs, each with brushes that are loaded again, strokes that must dry and a
// controller that reads few blocks a second, in one of the orders: from the text of the
// programs no load is exceeded, no stroke begins too early and no rule is broken, and
// all that is drawn is painted or refused.
func TestSessions(t *testing.T) {
	jobs, loads, pairs := 0, 0, 0
	for number := 1; number <= *sessionsFlag; number++ {
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
			t.Logf("job %d, %s: %v %v", number, by, err, problems)
			continue
		}
		jobs++
		for _, c := range r.Checks {
			if !c.OK {
				t.Errorf("job %d, %s: %s: %s: found %s, allowed %s", number, by, c.Program, c.Name, c.Found, c.Allowed)
			}
		}
		for _, l := range r.Layers {
			what := strings.Join([]string{"job", fmt.Sprint(number), by, l.File}, " ")
			if off := l.Plan.Drawn - l.Painted - l.Refused; math.Abs(off) > 1e-6 {
				t.Errorf("%s: %g mm² are neither painted nor refused", what, off)
			}
			loads += checkLoads(t, what, l, load, true)
			n, _ := checkWet(t, what, r, l, wet)
			pairs += n
		}
	}
	t.Logf("%d jobs of %d, %d reloads, %d pairs of strokes that touch", jobs, *sessionsFlag, loads, pairs)
	if 10*jobs < 9**sessionsFlag || loads == 0 {
		t.Error("too few to show anything")
	}
}
