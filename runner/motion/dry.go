package motion

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

// drying follows the clock of a program, so that a stroke that touches another does
// not begin before that one has had its time to dry. The clock counts no less than
// the machine needs: without acceleration, and without any pause.
type drying struct {
	wet     float64 // s; 0 for none
	travel  float64 // mm/s
	near    [][]int32
	wets    []stroke.Gesture
	lanes   map[int]bool // shapes with lanes, which are painted wet in wet
	ended   []float64    // by gesture, 0 for those to come
	now     float64
	waits   int
	waiting float64
}

func newDrying(gestures []stroke.Gesture, layer *model.Layer, machine *model.Machine) *drying {
	d := &drying{wet: layer.Wet, travel: machine.TravelFeed / 60}
	if d.wet <= 0 {
		return d
	}
	d.wets, d.ended, d.lanes = gestures, make([]float64, len(gestures)), map[int]bool{}
	groups := make([][]stroke.Gesture, len(gestures))
	for i, g := range gestures {
		groups[i] = gestures[i : i+1]
		if g.Kind == stroke.Lane {
			d.lanes[g.Shape] = true
		}
	}
	d.near = touching.Neighbours(groups)
	return d
}

// together reports whether one gesture goes on what another began, so that they are
// painted wet in wet.
func (d *drying) together(i, k int) bool {
	a, b := d.wets[i], d.wets[k]
	return a.Shape == b.Shape && a.Shape >= 0 && (d.lanes[a.Shape] || a.Kind == stroke.Corner || b.Kind == stroke.Corner || a.Begun || b.Begun)
}

// leastWait (s) is the shortest wait: a shorter one is not worth the way to the
// place to rest.
const leastWait = 0.1

// before is how long the machine waits at its place to rest before a gesture, in
// tenths of a second; 0 if it goes on. at is where it is, above where the gesture
// begins; the brush is loaded after the wait, if there is a visit.
func (d *drying) before(i int, at, rest, above Move, visit *Visit) float64 {
	if d.wet <= 0 {
		return 0
	}
	dry := 0.0
	for _, k := range d.near[i] {
		if end := d.ended[k]; end > 0 && !d.together(i, int(k)) {
			dry = max(dry, end+d.wet)
		}
	}
	if visit != nil {
		dry -= d.staying(visit)
	}
	if dry <= d.now+xyDistance(at, above)/d.travel {
		return 0
	}
	there := d.now + (xyDistance(at, rest)+xyDistance(rest, above))/d.travel
	wait := max(math.Ceil(float64(10*(dry-there)))/10, leastWait)
	d.waits++
	d.waiting += wait
	d.now += xyDistance(at, rest)/d.travel + wait
	return wait
}

// painted moves the clock on over a stroke; at is where the brush came from.
func (d *drying) painted(i int, at Move, s *Stroke) {
	if d.wet <= 0 {
		return
	}
	d.now += xyDistance(at, s.Moves[0]) / d.travel
	for k := 1; k < len(s.Moves); k++ {
		m := s.Moves[k]
		if k == len(s.Moves)-1 {
			d.ended[i] = max(d.now, math.SmallestNonzeroFloat64)
		}
		if m.Feed > 0 {
			d.now += distance(s.Moves[k-1], m) / (float64(m.Feed) / 60)
		}
	}
}

// Drying says what the time to dry costs.
type Drying struct {
	Waits   int     // at the place to rest
	Seconds float64 // of them
}
