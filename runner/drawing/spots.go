package drawing

import "math"

// spots finds points near a point, on the same layer: a hash table of square
// cells, each with a list of the points in it.
type spots struct {
	cell  float64
	heads []int32 // the table: the latest point of a cell, -1 for none
	next  []int32 // the point before in the same slot
	at    []XY
	layer []int32
}

// newSpots makes room for n points. No search reaches farther than a cell.
func newSpots(cell float64, n int) *spots {
	size := 16
	for size < 2*n {
		size *= 2
	}
	s := &spots{
		cell: cell, heads: make([]int32, size),
		next: make([]int32, 0, n), at: make([]XY, 0, n), layer: make([]int32, 0, n),
	}
	for i := range s.heads {
		s.heads[i] = -1
	}
	return s
}

func (s *spots) slot(x, y, layer int32) int {
	h := uint64(uint32(x))*0x9E3779B97F4A7C15 ^ uint64(uint32(y))*0xC2B2AE3D27D4EB4F ^ uint64(uint32(layer))*0x165667B19E3779F9
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	h ^= h >> 32
	return int(h) & (len(s.heads) - 1)
}

func (s *spots) cellOf(v float64) int32 { return int32(math.Floor(v / s.cell)) }

// add takes a point in; points are numbered from 0.
func (s *spots) add(p XY, layer int32) int32 {
	n := int32(len(s.at))
	i := s.slot(s.cellOf(p.X), s.cellOf(p.Y), layer)
	s.at = append(s.at, p)
	s.layer = append(s.layer, layer)
	s.next = append(s.next, s.heads[i])
	s.heads[i] = n
	return n
}

// near calls visit with every point within the radius, and its squared
// distance, until visit answers false. Points come in no stated order, but
// always in the same.
func (s *spots) near(p XY, layer int32, radius float64, visit func(n int32, distance2 float64) bool) {
	limit := float64(radius * radius)
	x1, x2 := s.cellOf(p.X-radius), s.cellOf(p.X+radius)
	y1, y2 := s.cellOf(p.Y-radius), s.cellOf(p.Y+radius)
	for y := y1; y <= y2; y++ {
		for x := x1; x <= x2; x++ {
			for n := s.heads[s.slot(x, y, layer)]; n >= 0; n = s.next[n] {
				q := s.at[n]
				// Other cells may share the slot.
				if s.layer[n] != layer || s.cellOf(q.X) != x || s.cellOf(q.Y) != y {
					continue
				}
				dx, dy := q.X-p.X, q.Y-p.Y
				if d := float64(dx*dx) + float64(dy*dy); d <= limit && !visit(n, d) {
					return
				}
			}
		}
	}
}
