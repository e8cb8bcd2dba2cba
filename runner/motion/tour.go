package motion

import (
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// Tour carries the tip of a brush over register marks, at the safe height.
type Tour struct {
	Decimals int
	Height   int32 // in grid steps
	Start    int32 // of the first lift, at least Height
	Stops    []TourStop
	Rest     Move // where the machine waits at the end
	Home     Retreat
	Clamps   *Clamps // nil if the recipe has none
}

// TourStop is a mark over which the tip waits.
type TourStop struct {
	Mark string
	At   Move
	Way  []Move // there, the first straight above where the tip was; At is the last
}

// OnSheetBefore are the marks that are on the sheet before a layer is painted:
// those of the layers before it, and others that were read. Where no layer paints
// any, they were drawn by hand, and all are there.
func OnSheetBefore(layer *model.Layer, job *model.Job) []model.Mark {
	there := map[string]bool{}
	byHand := !slices.ContainsFunc(job.Marks, func(m model.Mark) bool { return m.Painted != "" })
	if layer.Seating != nil {
		for _, r := range layer.Seating.Readings {
			there[r.Mark] = true
		}
	}
	for i := range job.Layers {
		if job.Layers[i].Name == layer.Name {
			break
		}
		for _, m := range job.Marks {
			there[m.Name] = there[m.Name] || m.Painted == job.Layers[i].Name
		}
	}
	return slices.DeleteFunc(slices.Clone(job.Marks), func(m model.Mark) bool { return !byHand && !there[m.Name] })
}

// MarkTour leads from the place to rest over the marks, in their order, and back,
// on the sheet as it lies. It leaves out marks that the machine does not reach.
func MarkTour(marks []model.Mark, layer *model.Layer, sheet *model.Sheet, machine *model.Machine, lie Lie) Tour {
	a := newAxes(layer.Brush, sheet, machine, lie)
	t := Tour{Decimals: a.decimals, Height: a.safe, Start: a.safe, Rest: a.rest}
	c := newClearing(&a, layer.Brush, sheet, machine)
	if c != nil {
		t.Start, t.Clamps = c.start, c.plain()
	}
	at := Move{X: a.rest.X, Y: a.rest.Y, Z: a.safe}
	reach := a.frame.reach(machine.ReachX, machine.ReachY)
	travel := feed(min(machine.TravelFeed, machine.FastestFeed))
	for _, m := range marks {
		x, y := a.position(plane.At(m.X, m.Y))
		if x < reach.Min.X || x > reach.Max.X || y < reach.Min.Y || y > reach.Max.Y {
			continue
		}
		stop := Move{X: x, Y: y, Z: a.safe, Feed: travel}
		way := []Move{stop}
		if c != nil {
			way = c.visit(at, stop, len(t.Stops) == 0 && !c.known)
		}
		t.Stops, at = append(t.Stops, TourStop{m.Name, stop, way}), stop
	}
	t.Home = clamped{&planner{clearing: c}}.retreat(at)
	return t
}
