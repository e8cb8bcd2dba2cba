package motion

import (
	"mahlstick/runner/lagcomp"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// steepSlack (mm) is by how much a press may be deeper than the brush's limit
// allows, because of rounding and of corners that are cut.
const steepSlack = 0.001

// holdBack presses the brush less where its lag shrinks while it is pressed: the
// axis then goes a shorter way than the mark, and the press, which is within the
// brush's limit along the mark, may rise too steeply along the axis. It lists the
// place of each stroke where that narrows the mark most, with the area left bare.
func (m *planner) holdBack(g stroke.Gesture, path []lagcomp.Step) {
	b := m.layer.Brush
	if b.SteepestPress == 0 || !b.Lag.Known() {
		return
	}
	r := stroke.Remark{Reason: stroke.TooSteep, Shape: g.Shape, Place: g.Place}
	worst, narrowerBefore := 0.0, 0.0
	allowed := path[0].Mark.Press
	for i := 1; i < len(path); i++ {
		way := axisDistance(path[i-1], path[i])
		mark := &path[i].Mark
		allowed = min(mark.Press, allowed+float64(b.SteepestPress*way))
		narrower := 0.0
		if by := mark.Press - allowed; by > steepSlack {
			wide := m.withWidth(*mark).Width
			mark.Press = allowed
			narrower = wide - m.withWidth(*mark).Width
			if by > worst {
				worst, r.At, r.Width = by, mark.Plane(), wide
			}
		}
		moved := plane.Distance(path[i-1].Mark.Plane(), mark.Plane()) / plane.PerMM
		if r.Area += float64(moved*(narrower+narrowerBefore)) / 2; narrower > 0 {
			r.Length += moved
		}
		narrowerBefore = narrower
	}
	if worst > 0 && g.Kind.OfPicture() {
		m.remarks = append(m.remarks, r)
	}
}
