package presenting

import (
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// clampsView is what stands in the way of brush and holder, as the sheet lies; nil if
// nothing does.
func clampsView(j Job, lies *logbook.Lies) *logbook.Clamps {
	m, last := &j.Machine, &j.Layers[len(j.Layers)-1].Motion
	if last.Clamps == nil {
		return nil
	}
	out := &logbook.Clamps{Holder: m.Holder, Under: m.HolderHeight, Clear: model.ClampClear}
	for _, l := range j.Layers {
		out.FromRest = out.FromRest || l.Motion.Clamps.FromRest
	}
	for i, c := range j.Sheet.Clamps {
		k := logbook.Clamp{Name: c.Name, X: c.X, Y: c.Y, Width: c.Width, Length: c.Length, Height: c.Height, OnBed: c.OnBed}
		for _, q := range c.Corners() {
			x, y := q[0], q[1]
			if !c.OnBed {
				x, y = j.Sheet.OnBed(x, y)
				if lies != nil {
					x, y = float64(lies.XX*x)+float64(lies.XY*y)+lies.X, float64(lies.YX*x)+float64(lies.YY*y)+lies.Y
				}
			}
			k.Corners = append(k.Corners, vector.XY{X: x, Y: y})
		}
		k.Passed = passed(last.Clamps.Clamps[i].Top+plane.Snap(model.ClampClear), last.Hover, last.Safe, last.Rest.Z)
		out.Clamps = append(out.Clamps, k)
	}
	return out
}

// passed says how a clamp is cleared that must be passed at a height or higher.
func passed(over, hover, safe, highest int32) string {
	height := func(v int32) string { return "at Z " + format.Page.Number(plane.MM(v), 2) + " mm" }
	switch {
	case over <= hover:
		return "passes over"
	case over <= safe:
		return "passes over " + height(safe) + ", or goes round"
	case over <= highest:
		return "passes over " + height(over) + ", or goes round"
	}
	return "goes round"
}
