package motion

import (
	"math"
	"strconv"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// heightRows is how many rows of places there are each way to touch the height of
// the paper at: the fewest that show how a bed bends.
const heightRows = 3

// heightStep (mm) is to what the places are rounded, away from what is painted.
const heightStep = 0.5

// ProposeHeights are places at which to touch the height of the paper: a grid
// around all that is painted and the place of touching off, as far as it is on the
// sheet, a brush reaches it and no clamp is in its way; none if there is no such grid. They are named by their numbers, row by row from
// below, each row from the side where the last one ended.
func ProposeHeights(painted []Painted, sheet *model.Sheet, machine *model.Machine) []model.Mark {
	if !sheet.TouchOff.Stated || len(painted) == 0 {
		return nil
	}
	at := plane.At(sheet.TouchOff.X, sheet.TouchOff.Y)
	box := plane.Bounds([]plane.Point{at})
	for _, p := range painted {
		for _, g := range p.Gestures {
			for _, q := range g.Points {
				box = box.Union(plane.Bounds([]plane.Point{q.Plane()}))
			}
		}
	}
	reach := Reachable(painted[0].Brush, sheet, machine)
	x := heightPlaces(plane.MM(box.Min.X), plane.MM(box.Max.X), max(0, plane.MM(reach.Min.X)), min(sheet.Width, plane.MM(reach.Max.X)))
	y := heightPlaces(plane.MM(box.Min.Y), plane.MM(box.Max.Y), max(0, plane.MM(reach.Min.Y)), min(sheet.Height, plane.MM(reach.Max.Y)))
	a := newAxes(painted[0].Brush, sheet, machine, painted[0].Lie)
	clear := newClearing(&a, painted[0].Brush, sheet, machine)
	var out []model.Mark
	if clear != nil && !clear.makeRoom(&x, &y) {
		return nil
	}
	for k := range heightRows {
		for i := range heightRows {
			if k%2 == 1 {
				i = heightRows - 1 - i
			}
			out = append(out, model.Mark{Name: strconv.Itoa(len(out) + 1), X: x[i], Y: y[k]})
		}
	}
	return out
}

// heightPlaces are the first, the middle and the last place along an axis, around
// what is from one coordinate to another, within limits.
func heightPlaces(from, to, least, most float64) [heightRows]float64 {
	first := max(math.Floor(from/heightStep)*heightStep, math.Ceil(least/heightStep)*heightStep)
	last := min(math.Ceil(to/heightStep)*heightStep, math.Floor(most/heightStep)*heightStep)
	return [heightRows]float64{first, math.Round((first+last)/2/heightStep) * heightStep, last}
}

// makeRoom moves rows and columns of places until no clamp is in the way of any
// place, each time the one that has the shorter way; false if there is no room.
func (c *clearing) makeRoom(x, y *[heightRows]float64) bool {
	blocked := func(u, v float64) bool {
		px, py := c.axes.position(plane.At(u, v))
		p := plane.Point{X: px, Y: py}
		return c.Blocked(p, p, 0) >= 0
	}
	for range 10 * heightRows * heightRows {
		n := 0
		for n < heightRows*heightRows && !blocked(x[n%heightRows], y[n/heightRows]) {
			n++
		}
		if n == heightRows*heightRows {
			return true
		}
		i, k := n%heightRows, n/heightRows
		u, alongX := moveAside(*x, i, func(u float64) bool { return blocked(u, y[k]) })
		v, alongY := moveAside(*y, k, func(v float64) bool { return blocked(x[i], v) })
		switch {
		case alongX && (!alongY || math.Abs(u-x[i]) <= math.Abs(v-y[k])):
			x[i] = u
		case alongY:
			y[k] = v
		default:
			return false
		}
	}
	return false
}

// moveAside is the nearest place to the i-th along an axis that is not blocked, and is
// not beyond half of the way to the next.
func moveAside(at [heightRows]float64, i int, blocked func(float64) bool) (place float64, ok bool) {
	for by := heightStep; ; by += heightStep {
		tried := false
		for _, way := range [...]float64{1, -1} {
			to := at[i] + float64(way*by)
			low, high := at[0], at[len(at)-1]
			if i > 0 {
				low = (at[i-1] + at[i]) / 2
			}
			if i < len(at)-1 {
				high = (at[i] + at[i+1]) / 2
			}
			if to < low || to > high {
				continue
			}
			if tried = true; !blocked(to) {
				return to, true
			}
		}
		if !tried {
			return 0, false
		}
	}
}
