package order

import (
	"math"

	"mahlstick/runner/plane"
)

// grid finds near ends of units. An end is numbered 2·unit for the first and
// 2·unit+1 for the last point.
type grid struct {
	box        plane.Box
	cell       int64 // side of a cell in grid steps
	cols, rows int64
	cells      [][]int32
	at         []plane.Point // of every end, by number
}

// newGrid puts the listed ends into cells, about two in each.
func newGrid(at []plane.Point, ends []int32) *grid {
	g := &grid{at: at}
	if len(ends) == 0 {
		return g
	}
	g.box = plane.Empty()
	for _, e := range ends {
		g.box.Add(at[e])
	}
	w, h := int64(g.box.Max.X)-int64(g.box.Min.X)+1, int64(g.box.Max.Y)-int64(g.box.Min.Y)+1
	wanted := float64(len(ends))/2 + 1
	g.cell = max(1, int64(math.Sqrt(float64(w)*float64(h)/wanted)))
	// A long thin box would else have far more cells than ends.
	g.cell = max(g.cell, max(w, h)/int64(len(ends)+1))
	g.cols, g.rows = w/g.cell+1, h/g.cell+1
	g.cells = make([][]int32, g.cols*g.rows)
	counts := make([]int32, len(g.cells))
	for _, e := range ends {
		counts[g.index(at[e])]++
	}
	all := make([]int32, len(ends))
	for i, n := range counts {
		g.cells[i], all = all[:0:n], all[n:]
	}
	for _, e := range ends {
		i := g.index(at[e])
		g.cells[i] = append(g.cells[i], e)
	}
	return g
}

func (g *grid) column(p plane.Point) int64 { return (int64(p.X) - int64(g.box.Min.X)) / g.cell }
func (g *grid) row(p plane.Point) int64    { return (int64(p.Y) - int64(g.box.Min.Y)) / g.cell }
func (g *grid) index(p plane.Point) int64  { return g.row(p)*g.cols + g.column(p) }

// remove takes an end out.
func (g *grid) remove(e int32) {
	i := g.index(g.at[e])
	for k, other := range g.cells[i] {
		if other == e {
			n := len(g.cells[i]) - 1
			g.cells[i][k] = g.cells[i][n]
			g.cells[i] = g.cells[i][:n]
			return
		}
	}
}

// visit calls f with the cells around p, ring by ring outwards. Before each
// ring it asks more whether anything at that distance (grid steps) or farther
// is still wanted.
func (g *grid) visit(p plane.Point, more func(least float64) bool, f func(cell []int32)) {
	if len(g.cells) == 0 {
		return
	}
	cx := min(max(g.column(p), 0), g.cols-1)
	cy := min(max(g.row(p), 0), g.rows-1)
	for ring := int64(0); ring < max(g.cols, g.rows); ring++ {
		// From p, or for p outside from the nearest edge, a cell of this ring
		// is at least so far.
		if ring > 0 && !more(float64((ring-1)*g.cell)) {
			return
		}
		for y := max(cy-ring, 0); y <= min(cy+ring, g.rows-1); y++ {
			step := int64(1)
			if y != cy-ring && y != cy+ring {
				step = max(2*ring, 1)
			}
			for x := cx - ring; x <= cx+ring; x += step {
				if x >= 0 && x < g.cols && len(g.cells[y*g.cols+x]) > 0 {
					f(g.cells[y*g.cols+x])
				}
			}
		}
	}
}
