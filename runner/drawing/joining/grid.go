package joining

import (
	"math"

	"mahlstick/runner/vector"
)

// gridIndex finds points near a point, of the same group: a hash table of
// square cells, each with a list of the points in it.
type gridIndex struct {
	cell   float64
	heads  []int32 // the table: the latest point of a cell, -1 for none
	points []gridPoint
}

type gridPoint struct {
	at    vector.XY
	group int32
	next  int32 // the point before it in the same slot, or -1
}

// newGridIndex makes room for n points. Searches should not reach farther than a
// cell.
func newGridIndex(cell float64, n int) *gridIndex {
	size := 16
	for size < 2*n {
		size *= 2
	}
	g := &gridIndex{cell: cell, heads: make([]int32, size), points: make([]gridPoint, 0, n)}
	for i := range g.heads {
		g.heads[i] = -1
	}
	return g
}

func (g *gridIndex) slot(x, y int64, group int32) int {
	h := uint64(uint32(x))*0x9E3779B97F4A7C15 ^ uint64(uint32(y))*0xC2B2AE3D27D4EB4F ^ uint64(uint32(group))*0x165667B19E3779F9
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	h ^= h >> 32
	return int(h) & (len(g.heads) - 1)
}

func (g *gridIndex) cellOf(v float64) int64 { return int64(math.Floor(v / g.cell)) }

// add takes a point in; points are numbered from 0.
func (g *gridIndex) add(p vector.XY, group int32) int32 {
	n := int32(len(g.points))
	i := g.slot(g.cellOf(p.X), g.cellOf(p.Y), group)
	g.points = append(g.points, gridPoint{p, group, g.heads[i]})
	g.heads[i] = n
	return n
}

// near calls visit with every point within the radius, and its squared
// distance, until visit answers false. Points come in no stated order, but
// always in the same.
func (g *gridIndex) near(p vector.XY, group int32, radius float64, visit func(n int32, distance2 float64) bool) {
	limit := float64(radius * radius)
	x1, x2 := g.cellOf(p.X-radius), g.cellOf(p.X+radius)
	y1, y2 := g.cellOf(p.Y-radius), g.cellOf(p.Y+radius)
	for y := y1; y <= y2; y++ {
		for x := x1; x <= x2; x++ {
			for n := g.heads[g.slot(x, y, group)]; n >= 0; n = g.points[n].next {
				q := &g.points[n]
				dx, dy := q.at.X-p.X, q.at.Y-p.Y
				d := float64(dx*dx) + float64(dy*dy)
				// Other cells may share the slot.
				if d <= limit && q.group == group && g.cellOf(q.at.X) == x && g.cellOf(q.at.Y) == y && !visit(n, d) {
					return
				}
			}
		}
	}
}

// nearbyOrder lists the numbers from 0 to n-1 so that points near each other
// mostly come close after each other: by the square in which they lie, the
// squares along a Morton curve. Points in the same square keep their order.
// A million searches in this order stay in the processor'g caches.
func nearbyOrder(n int, at func(i int32) vector.XY) []int32 {
	order := make([]int32, n)
	if n == 0 {
		return order
	}
	low, high := at(0), at(0)
	for i := range int32(n) {
		p := at(i)
		low.X, low.Y = min(low.X, p.X), min(low.Y, p.Y)
		high.X, high.Y = max(high.X, p.X), max(high.Y, p.Y)
		order[i] = i
	}
	const bits = 11 // a side of the picture in squares, and the digits of the sort
	scale := (1<<bits - 1) / max(high.X-low.X, high.Y-low.Y, 1e-9)
	keys := make([]uint32, n)
	for i := range int32(n) {
		p := at(i)
		keys[i] = spread16(uint32(float64((p.X-low.X)*scale))) | spread16(uint32(float64((p.Y-low.Y)*scale)))<<1
	}
	// Sort by the lower and then by the upper half of the keys.
	other := make([]int32, n)
	for shift := 0; shift < 2*bits; shift += bits {
		var count [1 << bits]int32
		for _, k := range keys {
			count[k>>shift&(1<<bits-1)]++
		}
		sum := int32(0)
		for d, c := range count {
			count[d], sum = sum, sum+c
		}
		for _, i := range order {
			d := keys[i] >> shift & (1<<bits - 1)
			other[count[d]] = i
			count[d]++
		}
		order, other = other, order
	}
	return order
}

// spread16 puts a zero bit before each of the lower 16 bits.
func spread16(v uint32) uint32 {
	v &= 0xFFFF
	v = (v | v<<8) & 0x00FF00FF
	v = (v | v<<4) & 0x0F0F0F0F
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
}
