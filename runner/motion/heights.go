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
// sheet and a brush reaches it. They are named by their numbers, row by row from
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
	var out []model.Mark
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
