package logbook

import "math"

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
	dots          sums    // of the dots where strokes begin
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

// cost is what a tile costs that is so far from its place; more than most if it costs
// more than that.
func (p *placer) cost(t tile, far, most int) int {
	cost := far + costInk*p.marked(t) + costDot*p.dots.in(tile{t.x0 - dotSide, t.y0 - dotSide, t.x1 + dotSide, t.y1 + dotSide})
	for _, o := range p.taken {
		if cost > most {
			break
		}
		if area := t.overlap(o); area > 0 {
			cost += costOverlap + costOverlap*area/10000
		}
	}
	return cost
}

// dotSide is the side of a cell in which dots are counted, and half of a dot.
const dotSide = 25

// sums count in boxes.
type sums struct {
	across, down int
	sum          []int32 // above and to the left of each cell
}

// newSums counts places in cells of dotSide.
func newSums(width, height int, places [][2]int) sums {
	s := sums{across: width/dotSide + 2, down: height/dotSide + 2}
	s.sum = make([]int32, s.across*s.down)
	for _, at := range places {
		if x, y := at[0]/dotSide+1, at[1]/dotSide+1; at[0] >= 0 && at[1] >= 0 && x < s.across && y < s.down {
			s.sum[y*s.across+x]++
		}
	}
	for y := 1; y < s.down; y++ {
		for x := 1; x < s.across; x++ {
			i := y*s.across + x
			s.sum[i] += s.sum[i-1] + s.sum[i-s.across] - s.sum[i-s.across-1]
		}
	}
	return s
}

// in is how many places there are in a box.
func (s sums) in(t tile) int {
	if len(s.sum) == 0 {
		return 0
	}
	x0, y0 := max(0, t.x0/dotSide), max(0, t.y0/dotSide)
	x1, y1 := min(s.across-1, t.x1/dotSide+1), min(s.down-1, t.y1/dotSide+1)
	at := func(x, y int) int32 { return s.sum[y*s.across+x] }
	return int(at(x1, y1) - at(x0, y1) - at(x1, y0) + at(x0, y0))
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
	costDot     = 90   // a dot where a stroke begins
)

// place returns the middle of the best place for a label of a size near a point.
func (p *placer) place(x, y, width, height int) (int, int) {
	_, at := p.best(x, y, width, height, math.MaxInt)
	return p.take(at)
}

// placeFree is place, if that costs at most so much: else no place is taken.
func (p *placer) placeFree(x, y, width, height, most int) (int, int, bool) {
	cost, at := p.best(x, y, width, height, most)
	if cost < 0 {
		return 0, 0, false
	}
	cx, cy := p.take(at)
	return cx, cy, true
}

// take keeps other labels off a tile, and returns its middle.
func (p *placer) take(t tile) (int, int) {
	p.taken = append(p.taken, t)
	return (t.x0 + t.x1) / 2, (t.y0 + t.y1) / 2
}

// best is the place that costs least, and its cost; -1 if none on the map costs at
// most so much.
func (p *placer) best(x, y, width, height, most int) (int, tile) {
	around := func(cx, cy int) tile { return tile{cx - width/2, cy - height/2, cx + width/2, cy + height/2} }
	least, found := -1, around(x, y)
	for _, far := range distances {
		if far > most {
			break
		}
		for _, d := range directions {
			t := around(x+d[0]*(far+width/2)/1000, y+d[1]*(far+height/2)/1000)
			if t.x0 < 0 || t.y0 < 0 || t.x1 >= p.width || t.y1 >= p.height {
				continue
			}
			if cost := p.cost(t, far, most); cost <= most {
				least, found, most = cost, t, cost-1
			}
		}
	}
	return least, found
}
