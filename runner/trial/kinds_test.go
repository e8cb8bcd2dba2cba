package trial_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/trial"
)

func program(t *testing.T, n model.Trial) trial.Program {
	t.Helper()
	job := newJob(n)
	job.Sheet.Width, job.Sheet.Height, job.Machine.RestY = 210, 297, 317
	job.Brushes = append(job.Brushes, job.Trials[0].Brush)
	s := layOut(t, job)
	if len(s.Programs) != 1 {
		t.Fatalf("%d programs", len(s.Programs))
	}
	return s.Programs[0]
}

// A ramp goes both ways, and its width is read at the same presses going down and
// coming up.
func TestRamp(t *testing.T) {
	p := program(t, model.Trial{Kind: model.Ramp, Press: 4, Brush: measured(5)})
	if len(p.Gestures) != 2 || len(p.Readings) != 18 {
		t.Fatalf("%d strokes, %d readings", len(p.Gestures), len(p.Readings))
	}
	a, b := p.Gestures[0].Points, p.Gestures[1].Points
	if (a[2].X > a[0].X) == (b[2].X > b[0].X) || plane.MM(a[2].X-a[0].X) != 150 || a[1].Press != 4 || a[0].Press != 0 {
		t.Errorf("%+v and %+v", a, b)
	}
	for i := range 9 {
		r, mirrored := p.Readings[i], p.Readings[8-i]
		if r.Press != mirrored.Press || math.Abs(r.Expected-(0.2+0.45*r.Press)) > 1e-9 {
			t.Errorf("%+v", r)
		}
	}
}

// The feeds double, from the stated one to the fastest that the machine reaches
// in the middle of the mark.
func TestFeeds(t *testing.T) {
	for _, c := range []struct {
		acceleration float64
		want         []float64
	}{{100, []float64{300, 600, 1200, 2400}}, {10, []float64{300, 600, 1200}}, {0, []float64{300, 600, 1200, 2400}}} {
		job := newJob(model.Trial{Kind: model.Feeds, Press: 2, Feed: 300})
		job.Machine.Acceleration = c.acceleration
		var got []float64
		for _, r := range layOut(t, job).Programs[0].Readings {
			got = append(got, r.Feed)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("at %g mm/s²: %v", c.acceleration, got)
		}
	}
}

// Dots are held for 0 to 4 s, each in a box of its own with its depth and time.
func TestDwell(t *testing.T) {
	p := program(t, model.Trial{Kind: model.Dwell, Press: 1, Repeats: 2})
	want := []float64{0, 0.25, 0.5, 1, 2, 4}
	if len(p.Gestures) != 12 || len(p.Waits) != 10 || len(p.Readings) != 24 {
		t.Fatalf("%d dots, %d waits, %d readings", len(p.Gestures), len(p.Waits), len(p.Readings))
	}
	k := 0
	for i, g := range p.Gestures {
		if g.Trial.Wait != want[i%6] {
			t.Errorf("dot %d is held for %g s", i+1, g.Trial.Wait)
		}
		if g.Trial.Wait == 0 {
			continue
		}
		if w := p.Waits[k]; w.Seconds != g.Trial.Wait || w.Depth != 1 || !w.Box.Has(g.Points[0].Plane()) {
			t.Errorf("dot %d: %+v", i+1, w)
		}
		k++
	}
}

// Before each of ten dots the painter touches off again.
func TestTouches(t *testing.T) {
	p := program(t, model.Trial{Kind: model.Touches, Press: 1})
	for i, g := range p.Gestures {
		if !strings.Contains(g.Trial.Pause, "touch off again, Z only") {
			t.Errorf("dot %d: %q", i+1, g.Trial.Pause)
		}
	}
	if len(p.Gestures) != 10 {
		t.Errorf("%d dots", len(p.Gestures))
	}
}

// The first brush paints the crosses, each brush its dots, all at the same
// distance from theirs.
func TestTips(t *testing.T) {
	job := newJob(model.Trial{Kind: model.Tips, Press: 0.5, Repeats: 2}, model.Trial{Kind: model.Tips, Press: 0.5, Repeats: 2, Brush: measured(5)})
	job.Brushes = append(job.Brushes, job.Trials[1].Brush)
	s := layOut(t, job)
	if len(s.Programs) != 2 || len(s.Programs[0].Gestures) != 10 || len(s.Programs[1].Gestures) != 2 {
		t.Fatalf("%d programs", len(s.Programs))
	}
	for _, p := range s.Programs {
		for i, r := range p.Readings {
			if along := r.Across == 0; along && r.Expected < 9 || !along && r.Expected != 0 || along != (i%2 == 0) {
				t.Errorf("%+v", r)
			}
		}
	}
	// The dot is beside the middle of its cross.
	dot := s.Programs[1].Gestures[0].Points[0]
	beside := false
	for _, g := range s.Programs[0].Gestures {
		if len(g.Points) == 2 && g.Points[0].Y == g.Points[1].Y && g.Points[0].Y == dot.Y {
			middle := (plane.MM(g.Points[0].X) + plane.MM(g.Points[1].X)) / 2
			beside = beside || math.Abs(plane.MM(dot.X)-middle-s.Programs[1].Readings[0].Expected) < 0.001
		}
	}
	if !beside {
		t.Error("no cross at the distance that is expected")
	}
}

// A run-out is one stroke on one load; the other kinds take what they state.
func TestOtherKinds(t *testing.T) {
	for _, c := range []struct {
		kind               model.TrialKind
		strokes, readings  int
		deepest, shallower float64
	}{
		{model.RunOut, 1, 2, 3, 3}, {model.SetOff, 6, 6, 3, 3}, {model.Corners, 5, 5, 3, 3}, {model.Rings, 9, 9, 3, 1},
	} {
		p := program(t, model.Trial{Kind: c.kind, Press: 3})
		deepest, shallowest := 0.0, math.Inf(1)
		for _, r := range p.Readings {
			deepest, shallowest = max(deepest, r.Press), min(shallowest, r.Press)
		}
		if len(p.Gestures) != c.strokes || len(p.Readings) != c.readings || deepest != c.deepest || shallowest != c.shallower {
			t.Errorf("%v: %d strokes, %d readings, from %g to %g mm", c.kind, len(p.Gestures), len(p.Readings), shallowest, deepest)
		}
	}
}

// A list of what to measure has the columns that others read, a decimal point,
// and nothing where nothing is known.
func TestToMeasure(t *testing.T) {
	got := string(trial.ToMeasure([]trial.Reading{
		{Number: 1, Trial: "ladder, fine", X: 12.25, Y: 100, Across: 90, Press: -0.2, Feed: 900, Expected: math.NaN()},
		{Number: 2, Trial: "turns", X: 1000.5, Y: 0.125, Across: 0, Press: 2.5, Feed: 0, Expected: 1.23456},
	}))
	want := "number,trial,x (mm),y (mm),across (deg),press (mm),feed (mm/min),expected (mm),measured (mm)\n" +
		"1,\"ladder, fine\",12.25,100,90,-0.2,900,,\n2,turns,1000.5,0.125,0,2.5,0,1.235,\n"
	if got != want {
		t.Error(got)
	}
}

// A sheet that is too small is said so, with its place.
func TestNoRoom(t *testing.T) {
	job := newJob(model.Trial{Kind: model.Rings, Press: 3})
	job.Sheet.Width, job.Sheet.Height = 40, 40
	if _, problems := trial.LayOut(job); !problems.HasErrors() || problems[0].Code != "no-room-for-trial" {
		t.Error(problems)
	}
}
