package trial_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/motion"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/trial"
)

func newJob(trials ...model.Trial) *model.Job {
	b := &model.Brush{Name: "rigger", Title: "rigger", Touch: 0.1}
	job := &model.Job{
		Sheet: model.Sheet{Width: 210, Height: 148, Margin: 8},
		Machine: model.Machine{ReachX: 300, ReachY: 400, ReachZ: 60, SafeHeight: 6, TravelFeed: 3000, FastestFeed: 3000, LoweringFeed: 300,
			ZFeed: 600, Acceleration: 100, Bed: 0.2, Decimals: 3, RestY: 168, RestZ: 6},
		Brushes: []*model.Brush{b},
	}
	for i, t := range trials {
		if t.Brush == nil {
			t.Brush = b
		}
		if t.Name == "" {
			t.Name = string(rune('a'+i)) + " " + t.Kind.String()
		}
		t.Feed, t.Repeats, t.Held = max(t.Feed, 300), max(t.Repeats, 1), 4
		job.Trials = append(job.Trials, t)
	}
	return job
}

// measured is a brush whose widths are known: 0.2 mm and 0.45 mm for each mm of
// press.
func measured(safe float64) *model.Brush {
	curve, err := brush.Taper(0.2+0.45*safe, safe, 0.2)
	if err != nil {
		panic(err)
	}
	return &model.Brush{Name: "sable", Title: "sable", Touch: 0.06, SafePress: safe, WidestMark: 0.2 + 0.45*safe, TouchMark: 0.2, Curve: curve}
}

func layOut(t interface {
	Helper()
	Fatal(...any)
}, job *model.Job) trial.Swatch {
	t.Helper()
	s, problems := trial.LayOut(job)
	if problems.HasErrors() {
		t.Fatal(problems)
	}
	return s
}

// The ladder begins 0.2 mm above the paper and comes down in steps of 0.05 mm;
// then it rises from its lightest press.
func TestLadder(t *testing.T) {
	s := layOut(t, newJob(model.Trial{Kind: model.Ladder, Press: 5, Repeats: 3}))
	if len(s.Programs) != 1 {
		t.Fatal(len(s.Programs))
	}
	p := s.Programs[0]
	var passes, checks []float64
	count := map[float64]int{}
	for _, r := range p.Readings {
		switch {
		case r.Check:
			checks = append(checks, r.Press)
		default:
			if count[r.Press]++; count[r.Press] == 1 {
				passes = append(passes, r.Press)
			}
		}
	}
	want := []float64{-0.2, -0.15, -0.1, -0.05, 0, 0.1, 0.2, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5}
	if !slices.Equal(passes, want) {
		t.Errorf("rungs %v", passes)
	}
	for press, n := range count {
		if wanted := map[bool]int{true: 3, false: 1}[press > 0]; n != wanted {
			t.Errorf("%d rungs of %g mm", n, press)
		}
	}
	if len(checks) != 36 || slices.Max(checks) != 0.5 {
		t.Errorf("check marks %v", checks)
	}
	for i, r := range p.Readings {
		if r.Number != i+1 || !math.IsNaN(r.Expected) {
			t.Errorf("reading %d: %+v", i, r)
		}
	}
}

// Repeats are shuffled, but the same every time.
func TestLadderIsShuffled(t *testing.T) {
	presses := func() []float64 {
		var out []float64
		for _, r := range layOut(t, newJob(model.Trial{Kind: model.Ladder, Press: 5, Repeats: 3})).Programs[0].Readings {
			if !r.Check {
				out = append(out, r.Press)
			}
		}
		return out
	}
	first := presses()
	if !slices.Equal(first, presses()) || slices.IsSorted(first[5:]) {
		t.Error(first)
	}
}

// drawJob is any job of trials that fits on its sheet.
func drawJob(t *rapid.T) *model.Job {
	var trials []model.Trial
	known := measured(rapid.Float64Range(2, 9).Draw(t, "safe press"))
	for range rapid.IntRange(1, 4).Draw(t, "trials") {
		n := model.Trial{Kind: rapid.SampledFrom(model.TrialKinds()).Draw(t, "kind"), Press: rapid.Float64Range(0.3, 6).Draw(t, "press"),
			Repeats: rapid.IntRange(1, 4).Draw(t, "repeats"), Feed: rapid.Float64Range(100, 1500).Draw(t, "feed")}
		if rapid.Bool().Draw(t, "known") {
			n.Brush, n.Press = known, min(n.Press, known.SafePress)
		}
		trials = append(trials, n)
	}
	job := newJob(trials...)
	job.Brushes = append(job.Brushes, known)
	size := rapid.SampledFrom([][2]float64{{148, 210}, {210, 148}, {210, 297}, {297, 420}}).Draw(t, "size")
	job.Sheet.Width, job.Sheet.Height = size[0], size[1]
	job.Sheet.Lay, job.Sheet.Turned = model.Corner(rapid.IntRange(0, 3).Draw(t, "lay")), rapid.IntRange(0, 3).Draw(t, "turned")
	job.Machine.ReachX, job.Machine.ReachY = rapid.Float64Range(200, 500).Draw(t, "reach x"), rapid.Float64Range(200, 500).Draw(t, "reach y")
	for _, b := range job.Brushes {
		b.TipX, b.TipY = rapid.Float64Range(-3, 3).Draw(t, "tip x"), rapid.Float64Range(-3, 3).Draw(t, "tip y")
	}
	return job
}

// However the trials are mixed: nothing overlaps, everything is inside the
// margins and the machine makes it, no press is deeper than its trial's, and
// after each mark that is deeper than all before the painter looks at the tip.
func TestLaidOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := drawJob(t)
		s, problems := trial.LayOut(job)
		if problems.HasErrors() {
			t.Skip(problems)
		}
		bySheet := map[int][]plane.Box{}
		number := 0
		for i := range s.Programs {
			p := &s.Programs[i]
			for _, g := range p.Gestures {
				box, _ := motion.Swept([]stroke.Gesture{g})
				bySheet[p.Sheet] = append(bySheet[p.Sheet], box)
			}
			for _, r := range p.Readings {
				if number++; r.Number != number {
					t.Fatalf("reading %d has the number %d", number, r.Number)
				}
			}
			if _, problems := motion.Make(p.Gestures, &p.Layer, &job.Sheet, &job.Machine, motion.Lie{}); problems.HasErrors() {
				t.Fatal(problems)
			}
			checkPauses(t, job, p)
		}
		for sheet, boxes := range bySheet {
			checkApart(t, job, sheet, boxes)
		}
	})
}

// checkApart checks that no two marks of a sheet meet; the two strokes of a
// cross may.
func checkApart(t *rapid.T, job *model.Job, sheet int, boxes []plane.Box) {
	in := plane.Box{Min: plane.At(job.Sheet.Margin-0.001, job.Sheet.Margin-0.001),
		Max: plane.At(job.Sheet.Width-job.Sheet.Margin+0.001, job.Sheet.Height-job.Sheet.Margin+0.001)}
	for i, a := range boxes {
		if !in.Holds(a) {
			t.Fatalf("mark %d of sheet %d is at %v, outside the margins", i, sheet, a)
		}
		for k := range i {
			if a.Overlaps(boxes[k]) && k < i-1 {
				t.Fatalf("marks %d and %d of sheet %d overlap: %v, %v", k, i, sheet, boxes[k], a)
			}
		}
	}
}

// checkPauses checks that at most one mark, no deeper, is painted between a mark
// that is deeper than all before and the pause after it.
func checkPauses(t *rapid.T, job *model.Job, p *trial.Program) {
	deepest, most := 0.0, 0.0
	for _, q := range job.Trials {
		most = max(most, q.Press)
	}
	unseen := -1 // stroke that nobody has looked after
	for i, g := range p.Gestures {
		press := 0.0
		for _, q := range g.Points {
			press = max(press, q.Press)
		}
		if g.Trial.Pause != "" {
			unseen = -1
		}
		if unseen >= 0 && (press > deepest || i > unseen+1) {
			t.Fatalf("stroke %d presses %g mm deep, and there was no pause after stroke %d of %g mm", i+1, press, unseen+1, deepest)
		}
		if press > deepest {
			deepest, unseen = press, i
		}
	}
	if deepest > most {
		t.Fatalf("%g mm deep, more than any trial", deepest)
	}
	if b := p.Layer.Brush; b.SafePress != deepest || b.Reserve != 0 || b.Lag.Known() {
		t.Fatalf("planned with %+v", b)
	}
}

// However small the ladder is, each repeat comes after the first pass of its
// rung and after the pause that follows it.
func TestRepeatsComeLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := newJob(model.Trial{Kind: model.Ladder, Press: rapid.Float64Range(0.2, 8).Draw(t, "press"), Repeats: rapid.IntRange(1, 5).Draw(t, "repeats")})
		job.Sheet.Height = 600
		job.Machine.ReachY = 700
		p := layOut(t, job).Programs[0]
		deepest, seen := 0.0, 0.0
		for i, g := range p.Gestures {
			press := g.Points[0].Press
			if g.Trial.Pause != "" {
				seen = deepest
			}
			switch {
			case press > deepest && seen != deepest:
				t.Fatalf("stroke %d rises to %g mm before the pause after %g mm", i+1, press, deepest)
			case press > seen && press <= deepest && !p.Readings[i].Check:
				t.Fatalf("stroke %d repeats %g mm before the pause", i+1, press)
			}
			deepest = max(deepest, press)
		}
		if press := job.Trials[0].Press; deepest > press || deepest < press-0.01 {
			t.Fatalf("ends at %g mm", deepest)
		}
	})
}
