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

// mostNearest is up to how many units the order by the nearest dry end is tried: its
// work grows with their square.
const mostNearest = 5000

// sort delays units whose neighbours are wet. If the order is free, units may instead
// come by the nearest dry end, where that is done earlier: an order in which much is
// delayed leads to and fro.
func (d Drying) sort(units []unit, t tour, free bool) []unit {
	if d.Wet <= 0 || len(units) < 2 {
		return units
	}
	groups := make([][]stroke.Gesture, len(units))
	for i := range units {
		groups[i] = units[i].paint(nil)
	}
	near := touching.Neighbours(groups)
	out, end := d.delayed(units, groups, near, t)
	if free && len(units) <= mostNearest {
		if other, earlier := d.nearest(units, near, t); earlier < end {
			out = other
		}
	}
	return out
}

// clock is where and when the brush is while units are put in order.
type clock struct {
	Drying
	at  plane.Point
	now float64   // s
	dry []float64 // by unit: from when on it may be painted
}

// wait is how long the brush waits at a place before a unit.
func (c *clock) wait(to plane.Point, i int32) float64 {
	return c.dry[i] - c.now - c.way(to)
}

// way is the time in s of the travel to a place.
func (c *clock) way(to plane.Point) float64 {
	return plane.Distance(c.at, to) / plane.PerMM / c.Travel
}

// paint has a unit painted, while those that it touches wait.
func (c *clock) paint(i int32, unit []stroke.Gesture, near []int32) {
	c.now = max(c.now+c.way(first(unit[0])), c.dry[i])
	for _, g := range unit {
		c.now += c.Lift + pathLength(g)/plane.PerMM/c.Feed
	}
	c.at = last(unit[len(unit)-1])
	for _, n := range near {
		c.dry[n] = max(c.dry[n], c.now+c.Wet)
	}
}

// end is when the brush is back.
func (c *clock) end(t tour) float64 {
	if !t.returns {
		return c.now
	}
	return c.now + c.way(t.home)
}

func numbers(n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = int32(i)
	}
	return out
}

// delayed puts off units whose neighbours are wet: next comes the first unit of the
// order that touches nothing wet by the time the brush is there. Only if there is
// none, the one comes that is dry first. What was delayed comes as soon as it is
// dry, so the order stays near to what it was. end is when the brush is back.
func (d Drying) delayed(units []unit, groups [][]stroke.Gesture, near [][]int32, t tour) (out []unit, end float64) {
	c := clock{Drying: d, at: t.start, dry: make([]float64, len(units))}
	for left := numbers(len(units)); len(left) > 0; {
		k := c.next(groups, left)
		i := left[k]
		left = slices.Delete(left, k, k+1)
		c.paint(i, groups[i], near[i])
		out = append(out, units[i])
	}
	return out, c.end(t)
}

// nearest goes on at the nearest end of a unit that touches nothing wet by the time
// the brush is there, or else of the unit that is dry first.
func (d Drying) nearest(units []unit, near [][]int32, t tour) (out []unit, end float64) {
	c := clock{Drying: d, at: t.start, dry: make([]float64, len(units))}
	for left := numbers(len(units)); len(left) > 0; {
		best, waits, least, turned := -1, 0.0, 0.0, false
		for k, i := range left {
			u := &units[i]
			for _, to := range [...]plane.Point{u.first(), u.last()} {
				wait, far := max(c.wait(to, i), 0), plane.Distance(c.at, to)
				if best < 0 || wait < waits || wait == waits && far < least {
					best, waits, least, turned = k, wait, far, to != u.first()
				}
				if u.fixed {
					break
				}
			}
		}
		i := left[best]
		left = slices.Delete(left, best, best+1)
		u := units[i]
		u.turned = turned
		c.paint(i, u.paint(nil), near[i])
		out = append(out, u)
	}
	return out, c.end(t)
}

// next is the place in left of the unit that comes next.
func (c *clock) next(groups [][]stroke.Gesture, left []int32) int {
	best, least := 0, 0.0
	for k, i := range left[:min(len(left), ahead)] {
		wait := c.wait(first(groups[i][0]), i)
		if wait <= 0 {
			return k
		}
		if k == 0 || wait < least {
			best, least = k, wait
		}
	}
	return best
}
