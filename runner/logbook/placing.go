package logbook

// Labels on a map are placed in whole hundredths of a printed millimetre, so that
// every processor puts them at the same place.

// tile is a box on the printed map.
type tile struct{ x0, y0, x1, y1 int }

func (t tile) overlap(o tile) int {
	w, h := min(t.x1, o.x1)-max(t.x0, o.x0), min(t.y1, o.y1)-max(t.y0, o.y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// inkCell is the side of a cell in which marks are counted.
const inkCell = 50

// placer finds free places for labels.
type placer struct {
	width, height int
	taken         []tile
	across        int
	sums          []int32 // of cells with a mark, above and to the left of each
}

// newPlacer is a placer for a map with marks at some places.
func newPlacer(width, height int, marks [][2]int) *placer {
	p := &placer{width: width, height: height, across: width/inkCell + 2}
	down := height/inkCell + 2
	cells := make([]bool, p.across*down)
	for _, m := range marks {
		if x, y := m[0]/inkCell, m[1]/inkCell; m[0] >= 0 && m[1] >= 0 && x < p.across-1 && y < down-1 {
			cells[y*p.across+x] = true
		}
	}
	p.sums = make([]int32, p.across*down)
	for y := 1; y < down; y++ {
		for x := 1; x < p.across; x++ {
			i := y*p.across + x
			p.sums[i] = p.sums[i-1] + p.sums[i-p.across] - p.sums[i-p.across-1]
			if cells[i-p.across-1] {
				p.sums[i]++
			}
		}
	}
	return p
}

// marked counts the cells with a mark in a tile that is on the map.
func (p *placer) marked(t tile) int {
	x0, y0, x1, y1 := t.x0/inkCell, t.y0/inkCell, t.x1/inkCell+1, t.y1/inkCell+1
	at := func(x, y int) int32 { return p.sums[y*p.across+x] }
	return int(at(x1, y1) - at(x0, y1) - at(x1, y0) + at(x0, y0))
}

// directions are those in which a label may be, in thousandths.
var directions = [...][2]int{{1000, 0}, {924, -383}, {707, -707}, {383, -924}, {0, -1000}, {-383, -924}, {-707, -707}, {-924, -383},
	{-1000, 0}, {-924, 383}, {-707, 707}, {-383, 924}, {0, 1000}, {383, 924}, {707, 707}, {924, 383}}

// distances are those from a place to the nearest side of its label.
var distances = [...]int{40, 110, 200, 320, 460, 620, 800, 1000, 1250}

// What makes a place for a label worse.
const (
	costOverlap = 3000 // a label upon another, and as much again for each square millimetre
	costInk     = 22   // a cell with a mark
)

// place returns the middle of a free place for a label of a size near a point.
func (p *placer) place(x, y, width, height int) (int, int) {
	best, bestX, bestY := -1, x, y
	for _, far := range distances {
		for _, d := range directions {
			cx, cy := x+d[0]*(far+width/2)/1000, y+d[1]*(far+height/2)/1000
			t := tile{cx - width/2, cy - height/2, cx + width/2, cy + height/2}
			if t.x0 < 0 || t.y0 < 0 || t.x1 >= p.width || t.y1 >= p.height {
				continue
			}
			cost := far + costInk*p.marked(t)
			for _, o := range p.taken {
				if area := t.overlap(o); area > 0 {
					cost += costOverlap + costOverlap*area/10000
				}
			}
			if best < 0 || cost < best {
				best, bestX, bestY = cost, cx, cy
			}
		}
	}
	p.taken = append(p.taken, tile{bestX - width/2, bestY - height/2, bestX + width/2, bestY + height/2})
	return bestX, bestY
}
