package motion

import (
	"errors"
	"fmt"
	"math"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/vector"
)

const (
	// feedStep is by which share the feed of a formula may differ over one move;
	// beyond it the way is divided.
	feedStep = 0.05
	// feedParts is into how many moves a way is divided at most for its feed.
	feedParts = 64
	// feedWay (mm) is how long a part is at least.
	feedWay = 0.1
	// feedSamples is at how many places of a part its least feed is looked for.
	feedSamples = 4
)

// feeding is the feed of a layer's formula along one stroke.
type feeding struct {
	of      *model.Feeding
	m       *planner
	gesture *stroke.Gesture
	places  []feedPlace // of each step of the path
	failed  bool        // something is wrong with the formula, and was reported
}

// feedPlace is what the feed depends on.
type feedPlace struct{ press, bend, along float64 }

func between(a, b feedPlace, t float64) feedPlace {
	return feedPlace{vector.Lerp(a.press, b.press, t), vector.Lerp(a.bend, b.bend, t), vector.Lerp(a.along, b.along, t)}
}

// newFeeding is nil where the feed of the layer is the same everywhere.
func (m *planner) newFeeding(g *stroke.Gesture, path []lagcomp.Step) *feeding {
	of := m.layer.Feeding
	if of == nil || g.Trial != nil {
		return nil
	}
	f := &feeding{of: of, m: m, gesture: g, places: make([]feedPlace, len(path))}
	bend := func(float64) float64 { return 0 }
	if of.By.Uses("bend") {
		marks := make([]plane.Point, len(path))
		for i, step := range path {
			marks[i] = step.Mark.Plane()
		}
		bend = stroke.Bends(marks)
	}
	axisWay, markWay := 0.0, 0.0
	for i, step := range path {
		if i > 0 {
			axisWay += axisDistance(path[i-1], step)
			markWay += planeDistance(path[i-1].Mark, step.Mark)
		}
		f.places[i] = feedPlace{step.Mark.Press, bend(markWay), axisWay}
	}
	for i := range f.places {
		share := 0.0
		if axisWay > 0 {
			share = f.places[i].along / axisWay
		}
		f.places[i].along = g.Skipped + float64(share*(1-g.Skipped-g.Left))
	}
	return f
}

// at is the feed in mm/min at a place, at least the slowest of all. A feed that
// cannot be used is reported once.
func (f *feeding) at(p feedPlace) float64 {
	feed, err := f.of.At(p.press, p.bend, p.along)
	if fastest := f.m.machine.FastestFeed; err == nil && feed >= leastFeed && (fastest == 0 || feed <= fastest) {
		return feed
	}
	if !f.failed && !f.m.feedFailed {
		f.m.feedFailed = true
		f.m.problems.Add(f.wrong(p, feed, err))
	}
	f.failed = true
	return leastFeed
}

// leastFeed (mm/min) is the slowest feed that a program can state.
const leastFeed = 1

// wrong is what is wrong with the feed at a place.
func (f *feeding) wrong(p feedPlace, feed float64, err error) problem.Problem {
	first := f.gesture.Points[0]
	where := fmt.Sprintf("at a press of %s mm, a bend of %s/mm and %s of the way along the stroke that begins at %s mm, %s mm on the sheet", format.Plain.Number(p.press, 2),
		format.Plain.Number(p.bend, 3), format.Plain.Share(p.along), mm(plane.MM(first.X)), mm(plane.MM(first.Y)))
	var found problem.Problem
	switch {
	case errors.As(err, &found):
		found.Message = fmt.Sprintf("%s: in the layer %q, %s", found.Message, f.m.layer.Name, where)
	case err != nil:
		found = problem.Problem{Code: problem.OutOfDomain, Place: f.of.Place, Message: fmt.Sprintf("the feed has no value (%v), %s", err, where), Fix: problem.Advise("check the formula")}
	case feed < leastFeed:
		found = problem.Problem{Code: problem.OutOfRange, Place: f.of.Place, Message: fmt.Sprintf("the feed of the layer %q would be %s %s", f.m.layer.Name, format.Plain.Feed(feed), where),
			Fix: problem.Advise("write a formula that stays above 0, as greatest(..., 150*mm/min) does")}
	default:
		found = problem.Problem{Code: problem.TooFast, Place: f.of.Place,
			Message: fmt.Sprintf("the layer %q would be painted at %s, and the machine moves at most at %s: %s", f.m.layer.Name, format.Plain.Feed(feed), format.Plain.Feed(f.m.machine.FastestFeed), where),
			Fix:     problem.Advise("write a formula that is at most " + format.Plain.Feed(f.m.machine.FastestFeed) + ", as least(..., " + format.Plain.Number(f.m.machine.FastestFeed, 0) + "*mm/min) is"),
			Related: []problem.Related{{Place: f.m.machine.Place, Note: "the machine"}}}
	}
	return found
}

// parts is into how many moves the way to a step of the path is divided, so that the
// feed follows its formula; length is that of the way in mm.
func (f *feeding) parts(step int, length float64) int {
	if f == nil {
		return 1
	}
	a, b := f.places[step-1], f.places[step]
	steepest, before := 0.0, f.at(a) // change of feed from sample to sample, as a share
	for i := range feedSamples {
		feed := f.at(between(a, b, float64(i+1)/feedSamples))
		steepest = max(steepest, math.Abs(feed-before)/min(feed, before))
		before = feed
	}
	n := math.Ceil(float64(feedSamples*steepest) / feedStep)
	return max(1, int(min(n, feedParts, length/feedWay)))
}

// paint sets the planner's feed to the least of a part of the way to a step.
func (f *feeding) paint(step, part, parts int) {
	if f == nil {
		return
	}
	a, b := f.places[step-1], f.places[step]
	least := math.Inf(1)
	for i := range feedSamples + 1 {
		t := (float64(part-1) + float64(i)/feedSamples) / float64(parts)
		least = min(least, f.at(between(a, b, t)))
	}
	f.m.paint = feed(least)
}
