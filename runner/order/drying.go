package order

import (
	"slices"

	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
	"mahlstick/runner/touching"
)

// Drying keeps units whose marks touch apart in time. The zero value does not.
type Drying struct {
	Wet    float64 // s from the end of a stroke to the beginning of one that touches it
	Feed   float64 // mm/s of painting
	Travel float64 // mm/s of the lifted brush
	Lift   float64 // s for lowering and lifting
}

// ahead is how many units are looked at for one that touches nothing wet.
const ahead = 400

// sort delays units whose neighbours are wet: next comes the first unit of the
// order that touches nothing wet by the time the brush is there. Only if there is
// none, the one comes that is dry first. What was delayed comes as soon as it is
// dry, so the order stays near to what it was.
func (d Drying) sort(units []unit, at plane.Point) []unit {
	if d.Wet <= 0 || len(units) < 2 {
		return units
	}
	groups := make([][]stroke.Gesture, len(units))
	for i := range units {
		groups[i] = units[i].paint(nil)
	}
	near := touching.Neighbours(groups)
	dry := make([]float64, len(units)) // from when on a unit may be painted
	left := make([]int32, len(units))
	for i := range left {
		left[i] = int32(i)
	}
	out := make([]unit, 0, len(units))
	now := 0.0
	for len(left) > 0 {
		k := d.next(groups, left, dry, at, now)
		i := left[k]
		left = slices.Delete(left, k, k+1)
		now = max(now+d.way(at, groups[i]), dry[i])
		for _, g := range groups[i] {
			now += d.Lift + pathLength(g)/plane.PerMM/d.Feed
		}
		at = last(groups[i][len(groups[i])-1])
		for _, n := range near[i] {
			dry[n] = max(dry[n], now+d.Wet)
		}
		out = append(out, units[i])
	}
	return out
}

// way is the time in s of the travel to a unit.
func (d Drying) way(at plane.Point, unit []stroke.Gesture) float64 {
	return plane.Distance(at, first(unit[0])) / plane.PerMM / d.Travel
}

// next is the place in left of the unit that comes next.
func (d Drying) next(groups [][]stroke.Gesture, left []int32, dry []float64, at plane.Point, now float64) int {
	best, least := 0, 0.0
	for k, i := range left[:min(len(left), ahead)] {
		wait := dry[i] - now - d.way(at, groups[i])
		if wait <= 0 {
			return k
		}
		if k == 0 || wait < least {
			best, least = k, wait
		}
	}
	return best
}
