package motion

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// mayHover reports whether the brush may go from a lifted place to another
// without lifting to the safe height: the two are near each other and over the
// sheet within its margins, where no tape and no clamp lies.
func (m *planner) mayHover(from, to Move) bool {
	return m.axes.hover < m.axes.safe && from.Z == m.axes.hover && xyDistance(from, to) <= model.NearStrokes &&
		m.axes.overPicture(from, m.sheet) && m.axes.overPicture(to, m.sheet)
}

// overPicture reports whether the tip is over the part of a sheet within its
// margins.
func (a axes) overPicture(at Move, sheet *model.Sheet) bool {
	q := a.frame.ToSheet(plane.Point{X: at.X + a.tipX, Y: at.Y + a.tipY})
	margin := plane.Snap(sheet.Margin)
	return min(q.X, q.Y) >= margin && q.X <= a.frame.width-margin && q.Y <= a.frame.height-margin
}
