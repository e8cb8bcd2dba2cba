package runner_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// withColumn adds a column with the same cell in each row to the table of Layers of
// a recipe.
func withColumn(t *testing.T, recipe, word, cell string) {
	t.Helper()
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	in, row := false, 0
	lines := strings.Split(string(text), "\n")
	for i, l := range lines {
		switch {
		case strings.HasPrefix(l, "## "):
			in, row = strings.HasPrefix(l, "## Layers"), 0
		case in && strings.HasPrefix(l, "|"):
			lines[i] = strings.TrimRight(l, " ") + [...]string{" " + word + " |", "---|", " " + cell + " |"}[min(row, 2)]
			row++
		}
	}
	if err := os.WriteFile(recipe, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
}

// In random jobs, in every order, no stroke begins before those it touches have had
// their time: by the clock of the reader of the programs, which knows no planner, and
// by the distances of the marks that it reads. All that is drawn is painted or
// refused.
func TestWetTimesHold(t *testing.T) {
	pairs, waits, delayed := 0, 0, 0
	for number := 1; number <= 3; number++ {
		for k, by := range []string{"short", "as drawn", "written", "down", "away from the hand"} {
			recipe := scribbled(t, number, []string{"as drawn", "concealed"}[number%2], 0, 0)
			withoutOrder(t, recipe)
			withColumn(t, recipe, "order", by)
			wet := float64(5 + 10*k)
			dry, problems, err := runner.Run(recipe, runner.Options{})
			if err != nil || dry == nil {
				t.Fatalf("job %d: %v %v", number, err, problems)
			}
			withColumn(t, recipe, "wet", fmt.Sprintf("%g s", wet))
			r, problems, err := runner.Run(recipe, runner.Options{})
			if err != nil || r == nil {
				t.Fatalf("job %d: %v %v", number, err, problems)
			}
			if r.Failed() {
				t.Errorf("job %d, %s: a check fails", number, by)
			}
			for i, l := range r.Layers {
				what := fmt.Sprintf("job %d, %s, %s", number, by, l.File)
				if off := l.Plan.Drawn - l.Painted - l.Refused; math.Abs(off) > 1e-6 {
					t.Errorf("%s: %g mm² are neither painted nor refused", what, off)
				}
				checkSame(t, what, l.Gestures, dry.Layers[i].Gestures)
				n, before := checkWet(t, true, what, r, l, wet)
				pairs += n
				_, without := checkWet(t, false, what, dry, dry.Layers[i], wet)
				delayed += without - before
				waits += l.Motion.Drying.Waits
			}
		}
	}
	t.Logf("%d pairs of strokes that touch, %d of them too soon without the column wet, %d waits", pairs, delayed, waits)
	if pairs < 15 || delayed < 10 {
		t.Error("too few to show anything")
	}
}

// withoutOrder takes the column order out of a recipe, if it has one.
func withoutOrder(t *testing.T, recipe string) {
	t.Helper()
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.ReplaceAll(string(text), "| order |", "| note order |")
	if changed != string(text) {
		t.Fatalf("%s states an order", filepath.Base(recipe))
	}
}

// checkSame wants the same strokes in both, each once, from either end.
func checkSame(t *testing.T, what string, got, want []stroke.Gesture) {
	t.Helper()
	count := map[string]int{}
	key := func(g stroke.Gesture) string {
		a, b := fmt.Sprint(g.Points[0]), fmt.Sprint(g.Points[len(g.Points)-1])
		return fmt.Sprint(g.Shape, g.Kind, len(g.Points), min(a, b), max(a, b))
	}
	for _, g := range got {
		count[key(g)]++
	}
	for _, g := range want {
		count[key(g)]--
	}
	for k, n := range count {
		if n != 0 {
			t.Errorf("%s: %+d times %s", what, n, k)
			return
		}
	}
}

// checkWet counts the pairs of strokes of the picture that touch, and those that
// follow each other too soon; with report, these are errors.
func checkWet(t *testing.T, report bool, what string, r *runner.Result, l stage.Proven, wet float64) (pairs, soon int) {
	t.Helper()
	from, to := contactTimes(r, l)
	if len(from) != len(l.Gestures) || len(l.Marks) != len(l.Gestures) {
		t.Errorf("%s: %d strokes and %d marks in the program, %d planned", what, len(from), len(l.Marks), len(l.Gestures))
		return 0, 0
	}
	lanes := map[int]bool{}
	for _, g := range l.Gestures {
		lanes[g.Shape] = lanes[g.Shape] || g.Kind == stroke.Lane
	}
	together := func(a, b stroke.Gesture) bool {
		return a.Shape == b.Shape && (lanes[a.Shape] || a.Kind == stroke.Corner || b.Kind == stroke.Corner)
	}
	painted := make([]contact, len(l.Marks))
	around := make([]bounds, len(l.Marks))
	for i, m := range l.Marks {
		painted[i] = ofMarks(m)
		around[i] = boundsOf(painted[i]...)
	}
	for i, a := range l.Gestures {
		for k := i + 1; k < len(l.Gestures); k++ {
			if together(a, l.Gestures[k]) || !around[i].meets(around[k]) || !marksTouch(painted[i], painted[k], around[k]) {
				continue
			}
			pairs++
			if gap := from[k] - to[i]; gap < wet-0.01 {
				if soon++; report {
					t.Errorf("%s: stroke %d touches stroke %d after %.2f s", what, k+1, i+1, gap)
				}
			}
		}
	}
	return pairs, soon
}

// bounds is the upright box around dabs, in mm.
type bounds struct{ x0, y0, x1, y1 float64 }

func boundsOf(dabs ...dab) bounds {
	e := bounds{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, d := range dabs {
		e = bounds{min(e.x0, d.x-d.r), min(e.y0, d.y-d.r), max(e.x1, d.x+d.r), max(e.y1, d.y+d.r)}
	}
	return e
}

func (e bounds) meets(o bounds) bool {
	return e.x0 <= o.x1 && o.x0 <= e.x1 && e.y0 <= o.y1 && o.y0 <= e.y1
}

// contactTimes are when each stroke of a program begins and ends, in s since the
// program began, without its pauses.
func contactTimes(r *runner.Result, l stage.Proven) (from, to []float64) {
	path, _ := proof.Read("", l.Program)
	seconds := path.Seconds(proving.Timing(&r.Job.Machine))
	now, down := 0.0, false
	for i, m := range path.Moves {
		touches := m.From.Z <= 0 || m.To.Z <= 0
		if touches && !down {
			from, to = append(from, now), append(to, now)
		}
		if touches && !(m.From.Z <= 0 && m.To.Z > 0) { // while it lifts, nothing is painted
			to[len(to)-1] = now + seconds[i]
		}
		now += seconds[i]
		down = touches && m.To.Z <= 0
	}
	return from, to
}

// marksTouch looks along one mark for places that are inside the other, which lies
// within an bounds.
func marksTouch(a, b contact, within bounds) bool {
	for i := range a {
		p, q := a[max(i-1, 0)], a[i]
		if !within.meets(boundsOf(p, q)) {
			continue
		}
		n := math.Ceil(p.distance(q.place)/0.2) + 1
		for k := 0.0; k <= n; k++ {
			at, reach := p.towards(q.place, k/n), p.r+(q.r-p.r)*k/n-0.01
			if b.off(at, reach) < reach {
				return true
			}
		}
	}
	return false
}
