package order

import (
	"cmp"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// rowHeight is how far units may lie apart, along the way in which an order by rows
// goes, and still come by travel: 10 mm, in grid steps. Common practice, no source.
const rowHeight = 10 * plane.PerMM

// withRows gives each unit the row in which it begins: counted downwards, or from the
// corner that is farthest from the hand, where the sheet lies before a person who
// paints with the right hand from the lower right.
func withRows(units []unit, o Options) []unit {
	h := hand{o.LeftHand}
	keys := make([]int64, len(units))
	for i, u := range units {
		first := true
		for _, g := range u.body {
			for _, p := range g.Points {
				q := h.at(p.Plane())
				key := q[down]
				if o.By == model.FromHand {
					key = q[along] + q[down]
				}
				if first || key < keys[i] {
					keys[i], first = key, false
				}
			}
		}
	}
	height := int64(rowHeight)
	if o.By == model.FromHand {
		height = height * 14142 / 10000 // a step along both axes
	}
	for i := range units {
		units[i].row = floorDiv(keys[i], height)
	}
	return units
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func sameRow(a, b *unit) int { return cmp.Compare(a.row, b.row) }
