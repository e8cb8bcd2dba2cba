package motion

import (
	"cmp"
	"slices"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

const (
	// proposedSize (mm) is the size of a proposed register mark.
	proposedSize = 6.0
	// proposeStep (mm) is how far apart the places are that are tried, and
	// proposeSteps how many there are inwards from a corner, each way.
	proposeStep  = 2.0
	proposeSteps = 20
)

// ProposeMarks returns places for register marks that a brush paints, as near to
// the corners of the sheet as they can be: the first two lie across from each
// other. Nothing is painted there, and the machine reaches them. A corner
// without such a place has no mark.
func ProposeMarks(b *model.Brush, sheet *model.Sheet, machine *model.Machine, painted []stroke.Gesture) []model.Mark {
	narrowest, _ := b.Curve.Range()
	size := max(proposedSize, crossLeast*max(b.Thinnest, narrowest))
	edge := max(size/2+crossClear, sheet.Margin/2)
	var steps [][2]float64
	for i := range proposeSteps {
		for k := range proposeSteps {
			steps = append(steps, [2]float64{edge + float64(proposeStep*float64(i)), edge + float64(proposeStep*float64(k))})
		}
	}
	slices.SortStableFunc(steps, func(a, b [2]float64) int { return cmp.Compare(a[0]+a[1], b[0]+b[1]) })
	a := newAxes(b, sheet, machine, Lie{})
	reach := a.frame.reach(machine.ReachX, machine.ReachY)
	clear := newClearing(&a, b, sheet, machine)
	var out []model.Mark
	for _, c := range []model.Corner{model.LowerLeft, model.UpperRight, model.LowerRight, model.UpperLeft} {
		for _, s := range steps {
			m := model.Mark{Name: c.String(), X: s[0], Y: s[1], Size: size}
			if c == model.LowerRight || c == model.UpperRight {
				m.X = sheet.Width - m.X
			}
			if c == model.UpperLeft || c == model.UpperRight {
				m.Y = sheet.Height - m.Y
			}
			if 2*s[0] > sheet.Width || 2*s[1] > sheet.Height || !reaches(a, reach, m) || clear.covers(a, m) {
				continue
			}
			if _, over := covers(m, painted); !over {
				out = append(out, m)
				break
			}
		}
	}
	return out
}

// reaches reports whether the machine reaches all of a mark.
func reaches(a axes, reach plane.Box, m model.Mark) bool {
	box := plane.Around(plane.At(m.X, m.Y), plane.Snap(m.Size/2))
	for _, p := range []plane.Point{box.Min, box.Max} {
		q := a.frame.ToMachine(p)
		q.X, q.Y = q.X-a.tipX, q.Y-a.tipY
		if q.X < reach.Min.X || q.X > reach.Max.X || q.Y < reach.Min.Y || q.Y > reach.Max.Y {
			return false
		}
	}
	return true
}
