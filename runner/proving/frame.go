package proving

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
)

// sheetFrame is where the sheet lies on the bed. It shares no code with the
// package that plans the moves: otherwise an error there would hide here.
type sheetFrame struct {
	width, height float64 // of the sheet, mm
	turned        int     // quarter turns counter-clockwise
	zeroX, zeroY  float64 // the lay corner of the turned sheet, from its lower left
}

func newSheetFrame(s *model.Sheet) sheetFrame {
	f := sheetFrame{width: s.Width, height: s.Height, turned: s.Turned}
	corners := map[model.Corner][2]float64{
		model.LowerLeft: {0, 0}, model.LowerRight: {s.Width, 0},
		model.UpperRight: {s.Width, s.Height}, model.UpperLeft: {0, s.Height},
	}
	f.zeroX, f.zeroY = f.turn(corners[s.Lay][0], corners[s.Lay][1])
	return f
}

// turn turns a point of the sheet counter-clockwise by the sheet's quarter
// turns. The turned sheet has its lower left corner at zero.
func (f sheetFrame) turn(x, y float64) (float64, float64) {
	w, h := f.width, f.height
	for range f.turned {
		x, y = h-y, x
		w, h = h, w
	}
	return x, y
}

// onBed is a point of the sheet in the machine's coordinates, mm.
func (f sheetFrame) onBed(x, y float64) (float64, float64) {
	x, y = f.turn(x, y)
	return x - f.zeroX, y - f.zeroY
}

// onSheet is the inverse of onBed.
func (f sheetFrame) onSheet(x, y float64) (float64, float64) {
	x, y = x+f.zeroX, y+f.zeroY
	w, h := f.width, f.height
	if f.turned%2 == 1 {
		w, h = h, w
	}
	for range f.turned {
		x, y = y, w-x
		w, h = h, w
	}
	return x, y
}

// box is the sheet in the machine's coordinates.
func (f sheetFrame) box() proof.Rect {
	x0, y0 := f.onBed(0, 0)
	x1, y1 := f.onBed(f.width, f.height)
	return proof.Rect{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
}

// reach is where the machine can go in X and Y: from its zero towards the side
// on which the sheet lies.
func (f sheetFrame) reach(m *model.Machine) proof.Rect {
	b := f.box()
	r := proof.Rect{MaxX: m.ReachX, MaxY: m.ReachY}
	if b.MaxX <= 0 {
		r.MinX, r.MaxX = -m.ReachX, 0
	}
	if b.MaxY <= 0 {
		r.MinY, r.MaxY = -m.ReachY, 0
	}
	return r
}
