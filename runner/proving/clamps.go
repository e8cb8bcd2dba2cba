package proving

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
)

// addClamps adds what stands in the way of a brush, while the sheet lies as a seating
// says, which may be nil, on a bed that may be nil too.
func addClamps(l *proof.Limits, job *model.Job, mounted *model.Brush, f sheetFrame, s *seat, bed *proof.Bed) {
	sheet, m := &job.Sheet, &job.Machine
	if len(sheet.Clamps) == 0 {
		return
	}
	hair, half := mounted.WidestMark/2, m.Holder/2
	l.Clamps = &proof.Clamps{Clear: model.ClampClear, Under: m.HolderHeight, StartX: l.Rest.X, StartY: l.Rest.Y,
		Brush:  proof.Rect{MinX: min(0, mounted.TipX) - hair, MinY: min(0, mounted.TipY) - hair, MaxX: max(0, mounted.TipX) + hair, MaxY: max(0, mounted.TipY) + hair},
		Holder: proof.Rect{MinX: -half, MinY: -half, MaxX: half, MaxY: half}}
	for _, c := range sheet.Clamps {
		k := proof.Clamp{Name: c.Name}
		for i, share := range [...][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
			k.Corners[i][0], k.Corners[i][1] = clampAt(&c, share, f, s)
		}
		k.Top = c.Height + highestUnder(&c, f, s, bed)
		l.Clamps.Clamps = append(l.Clamps.Clamps, k)
	}
}

// clampAt is a place of a clamp in the machine's coordinates, by its shares of width
// and length.
func clampAt(c *model.Clamp, share [2]float64, f sheetFrame, s *seat) (float64, float64) {
	x, y := c.X+float64(share[0]*c.Width), c.Y+float64(share[1]*c.Length)
	if !c.OnBed {
		x, y = f.onBed(x, y)
		if s != nil {
			x, y = s.at(x, y)
		}
		return x, y
	}
	if s != nil {
		x, y = x+s.zeroX, y+s.zeroY
	}
	return x, y
}

// underClamp is at how many places each way the paper below a clamp is looked at.
const underClamp = 8

// highestUnder is how high the paper is below a clamp, over the place of touching off.
func highestUnder(c *model.Clamp, f sheetFrame, s *seat, bed *proof.Bed) float64 {
	if bed == nil {
		return 0
	}
	high := math.Inf(-1)
	for i := range underClamp + 1 {
		for k := range underClamp + 1 {
			high = max(high, bed.Height(clampAt(c, [2]float64{float64(i) / underClamp, float64(k) / underClamp}, f, s)))
		}
	}
	return high
}
