package trial

import (
	"fmt"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
)

// gap (mm) is kept free between marks, so that wet edges do not meet and a mark
// that trails does not reach its neighbour's.
const gap = 2.0

// rowGap (mm) is kept free between rows: their numbers on the page need room.
const rowGap = 2.6

// packer places items in rows, from the upper left corner of the sheet as one
// writes a page, and takes a new sheet where the old one is full.
type packer struct {
	area          box
	sheet         int     // the current one, from 1; 0 before the first
	x, top, lower float64 // the next free place in the row, its upper edge, its lower edge so far
}

// place places the items of a trial, which begins a new row.
func (p *packer) place(items []item, t *model.Trial) problem.List {
	var list problem.List
	p.newRow()
	for i := range items {
		it := &items[i]
		if it.width > p.area.right-p.area.left || it.height > p.area.high-p.area.low {
			list.Errorf(problem.NoRoomForTrial, t.Place, problem.Advise("choose a larger sheet or a smaller margin, or write a smaller press"),
				"the trial %q needs %s of room, and the sheet has %s inside its margins and within reach", t.Name,
				size(it.width, it.height), size(p.area.right-p.area.left, p.area.high-p.area.low))
			return list
		}
		if p.sheet > 0 && p.x+it.width > p.area.right {
			p.newRow()
		}
		if p.sheet == 0 || p.top-it.height < p.area.low {
			p.newSheet()
		}
		if p.sheet > mostSheets {
			list.Errorf(problem.TooMany, t.Place, problem.Advise("write fewer repeats, or choose a larger sheet"), "these trials need more than %d sheets", mostSheets)
			return list
		}
		it.sheet, it.x, it.y = p.sheet, p.x, p.top-it.height
		p.x, p.lower = p.x+it.width+gap, min(p.lower, it.y)
	}
	return nil
}

// newRow begins a row below the current one.
func (p *packer) newRow() {
	if p.x > p.area.left { // the row has items
		p.top = p.lower - rowGap
	}
	p.x, p.lower = p.area.left, p.top
}

func (p *packer) newSheet() {
	p.sheet++
	p.x, p.top, p.lower = p.area.left, p.area.high, p.area.high
}

// size is "30 x 20 mm".
func size(width, height float64) string {
	return fmt.Sprintf("%s x %s", format.Plain.Number(width, 1), format.Plain.Unit(format.Plain.Number(height, 1), "mm"))
}
