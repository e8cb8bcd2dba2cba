package order_test

import (
	"math"
	"slices"
	"testing"

	"mahlstick/runner/order"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

// watch is a clock of the brush and of wet strokes, which knows no planner.
type watch struct {
	order.Drying
	at     plane.Point
	now    float64
	dry    []float64
	near   [][]int32
	travel float64 // mm
}

func newWatch(gestures []stroke.Gesture, o order.Options) *watch {
	groups := make([][]stroke.Gesture, len(gestures))
	for i := range gestures {
		groups[i] = gestures[i : i+1]
	}
	return &watch{Drying: o.Drying, at: o.Start, dry: make([]float64, len(gestures)), near: touching.Neighbours(groups)}
}

// wait is how long the brush has to wait at a place before stroke i.
func (w *watch) wait(i int, to plane.Point) float64 {
	return max(0, w.dry[i]-w.now-plane.Distance(w.at, to)/plane.PerMM/w.Travel)
}

// paint has stroke i painted from one place to another.
func (w *watch) paint(i int, from, to plane.Point) {
	wait := w.wait(i, from)
	w.move(from)
	w.now += wait + w.Lift + plane.Distance(from, to)/plane.PerMM/w.Feed
	w.at = to
	for _, n := range w.near[i] {
		w.dry[n] = max(w.dry[n], w.now+w.Wet)
	}
}

func (w *watch) move(to plane.Point) {
	d := plane.Distance(w.at, to) / plane.PerMM
	w.travel, w.now, w.at = w.travel+d, w.now+d/w.Travel, to
}

// nearestDry goes on at the nearest end of a stroke that touches nothing wet by the
// time the brush is there, else of the one that is dry first.
func (w *watch) nearestDry(gestures []stroke.Gesture) {
	home := w.at
	left := make([]int, len(gestures))
	for i := range left {
		left[i] = i
	}
	for len(left) > 0 {
		best, waits, least := 0, math.Inf(1), math.Inf(1)
		var from, to plane.Point
		for k, i := range left {
			a, b := gestures[i].Points[0].Plane(), gestures[i].Points[1].Plane()
			for _, way := range [2][2]plane.Point{{a, b}, {b, a}} {
				wait, d := w.wait(i, way[0]), plane.Distance(w.at, way[0])
				if wait < waits || wait == waits && d < least {
					best, waits, least, from, to = k, wait, d, way[0], way[1]
				}
			}
		}
		i := left[best]
		left = slices.Delete(left, best, best+1)
		w.paint(i, from, to)
	}
	w.move(home)
}

// With strokes that must dry the brush is never back later than by going on at the
// nearest end of a dry one, nor earlier than if nothing had to dry.
func TestDryingAgainstNearest(t *testing.T) {
	for _, strokes := range []int{500, 2000} {
		all := many(strokes)
		for _, wet := range []float64{0, 20, 300} {
			o := order.Options{Start: plane.At(-20, 317), Return: true, Drying: order.Drying{Wet: wet, Feed: 10, Travel: 50, Lift: 2}}
			got, simple := newWatch(all, o), newWatch(all, o)
			for _, g := range order.Sort(all, o) {
				got.paint(g.Shape, g.Points[0].Plane(), g.Points[1].Plane())
			}
			got.move(o.Start)
			simple.nearestDry(all)
			t.Logf("%d strokes wet for %.0f s: %.0f mm, %.1f s; nearest first %.0f mm, %.1f s", strokes, wet, got.travel, got.now, simple.travel, simple.now)
			if got.now > simple.now+1e-6 {
				t.Errorf("%d strokes wet for %.0f s: the brush is back after %.1f s, nearest first after %.1f s", strokes, wet, got.now, simple.now)
			}
		}
	}
}
