package motion

import (
	"math"

	"mahlstick/runner/plane"
)

// Blocks is what was done so that a controller that reads few blocks a second
// keeps up.
type Blocks struct {
	Merged int   // moves that were left out, because the mark stays the same within the tolerance
	Slowed int   // moves whose feed was lowered
	Lowest int32 // of these feeds, mm/min; 0 if none was lowered
}

// mergeMost bounds how many moves become one.
const mergeMost = 256

// merger merges the moves of a planner.
type merger struct{ of *planner }

// spare merges the moves of a stroke after its first touch until each takes as
// long as the machine needs to read a block, and lowers the feed where merging
// would move the edge of the mark by more than half of the layer's tolerance.
// The other half is that of the strokes themselves. While the mark rests the
// axis swings round it; resting holds, for each move, whether it does, and those
// are not merged.
func (m merger) spare(begin int, resting []bool) {
	if m.of.machine.Blocks <= 0 {
		return
	}
	moves, out := m.of.moves[begin:], &m.of.blocks
	kept := 1
	for i := 1; i < len(moves); {
		from, next, end := moves[kept-1], moves[i], i+1
		for m.short(from, next) && end < len(moves) && end-i < mergeMost && !resting[i] && !resting[end] {
			wider := moves[end]
			wider.Feed = min(wider.Feed, next.Feed)
			if !m.sameMark(from, moves[i:end], wider) {
				break
			}
			next, end = wider, end+1
		}
		if out.Merged += end - i - 1; end > i+1 {
			// A way that cuts a bend is shorter, so Z has less time.
			next.Feed = min(next.Feed, m.of.feedTo(from, next, false))
		}
		if m.short(from, next) {
			next.Feed = feed(float64(distance(from, next)*60) * float64(m.of.machine.Blocks))
			out.Slowed++
			if out.Lowest == 0 || next.Feed < out.Lowest {
				out.Lowest = next.Feed
			}
		}
		moves[kept] = next
		kept, i = kept+1, end
	}
	m.of.moves = m.of.moves[:begin+kept]
}

// short reports whether a move takes less time than reading a block.
func (m merger) short(from, to Move) bool {
	return float64(to.Feed) > float64(distance(from, to)*60)*float64(m.of.machine.Blocks)
}

// sameMark reports whether the straight way to a move paints what the moves
// before it would, within half of the tolerance.
func (m merger) sameMark(from Move, before []Move, to Move) bool {
	dx, dy := plane.MM(to.X-from.X), plane.MM(to.Y-from.Y)
	square := float64(dx*dx) + float64(dy*dy)
	if square == 0 || !m.gentle(from, to) {
		return false
	}
	last := 0.0
	for _, v := range before {
		x, y := plane.MM(v.X-from.X), plane.MM(v.Y-from.Y)
		share := (float64(x*dx) + float64(y*dy)) / square
		if share < last || share > 1 {
			return false
		}
		last = share
		off := math.Sqrt(max(0, float64(x*x)+float64(y*y)-float64(float64(share*share)*square)))
		z := plane.MM(from.Z) + float64(share*plane.MM(to.Z-from.Z))
		paper := plane.MM(m.of.axes.paper(v.X, v.Y))
		if off+math.Abs(m.widthAt(paper-z)-m.widthAt(paper-plane.MM(v.Z)))/2 > m.of.layer.Tolerance/2 {
			return false
		}
	}
	return true
}

// gentle reports whether a move presses no steeper than the brush allows.
func (m merger) gentle(from, to Move) bool {
	limit := m.of.layer.Brush.SteepestPress
	return limit == 0 || plane.MM(from.Z-to.Z) <= float64(limit*xyDistance(from, to))
}

// widthAt is the width of the mark at a press, 0 above the paper.
func (m merger) widthAt(press float64) float64 {
	if press < 0 {
		return 0
	}
	w, err := m.of.layer.Brush.Curve.WidthAt(min(press, m.of.layer.Brush.Curve.SafePress()))
	if err != nil {
		return 0
	}
	return w
}
