package region

import (
	"cmp"

	"mahlstick/runner/plane"
)

// segment is an edge with its direction.
type segment struct{ A, B plane.Point }

func (s segment) box() plane.Box {
	return plane.Box{
		Min: plane.Point{X: min(s.A.X, s.B.X), Y: min(s.A.Y, s.B.Y)},
		Max: plane.Point{X: max(s.A.X, s.B.X), Y: max(s.A.Y, s.B.Y)},
	}
}

// leafSize is how many items share a box at the bottom of a tree.
const leafSize = 4

// tree is a binary tree of boxes over a sequence of items, such as the edges of a ring
// in order. boxes is in heap order.
type tree struct {
	n, bottom int // items; index of the first box of the bottom row
	boxes     []plane.Box
}

// newTree builds the tree of n items; box returns the box of each.
func newTree(n int, box func(i int) plane.Box) *tree {
	row := 1
	for row*leafSize < n {
		row *= 2
	}
	t := &tree{n: n, bottom: row - 1, boxes: make([]plane.Box, 2*row-1)}
	for i := range row {
		b := plane.Empty()
		for j := i * leafSize; j < min(n, (i+1)*leafSize); j++ {
			b = b.Union(box(j))
		}
		t.boxes[t.bottom+i] = b
	}
	for i := t.bottom - 1; i >= 0; i-- {
		t.boxes[i] = t.boxes[2*i+1].Union(t.boxes[2*i+2])
	}
	return t
}

// segmentTree builds the tree of segments.
func segmentTree(segments []segment) *tree {
	return newTree(len(segments), func(i int) plane.Box { return segments[i].box() })
}

func (t *tree) items(node int) (from, to int) {
	from = (node - t.bottom) * leafSize
	return min(from, t.n), min(from+leafSize, t.n)
}

// search visits all items of each leaf whose box overlaps b, also those whose own
// box does not, until visit returns false. It reports whether it ran to the end.
func (t *tree) search(b plane.Box, visit func(i int) bool) bool {
	return t.searchBelow(0, b, visit)
}

func (t *tree) searchBelow(node int, b plane.Box, visit func(i int) bool) bool {
	if !t.boxes[node].Overlaps(b) {
		return true
	}
	if node >= t.bottom {
		from, to := t.items(node)
		for i := from; i < to; i++ {
			if !visit(i) {
				return false
			}
		}
		return true
	}
	return t.searchBelow(2*node+1, b, visit) && t.searchBelow(2*node+2, b, visit)
}

// pairs visits every pair of items i < j of t that may overlap, until visit
// returns false.
func (t *tree) pairs(visit func(i, j int) bool) bool { return t.pairsBelow(0, visit) }

func (t *tree) pairsBelow(node int, visit func(i, j int) bool) bool {
	if node < t.bottom {
		return t.pairsBelow(2*node+1, visit) && t.pairsBelow(2*node+2, visit) &&
			pairsBetween(t, t, 2*node+1, 2*node+2, visit)
	}
	from, to := t.items(node)
	for i := from; i < to; i++ {
		for j := i + 1; j < to; j++ {
			if !visit(i, j) {
				return false
			}
		}
	}
	return true
}

// pairsBetween visits every pair of an item below node a of t and one below node b
// of u that may overlap, until visit returns false.
func pairsBetween(t, u *tree, a, b int, visit func(i, j int) bool) bool {
	if !t.boxes[a].Overlaps(u.boxes[b]) {
		return true
	}
	switch {
	case a < t.bottom && (b >= u.bottom || t.deeper(a, u, b)):
		return pairsBetween(t, u, 2*a+1, b, visit) && pairsBetween(t, u, 2*a+2, b, visit)
	case b < u.bottom:
		return pairsBetween(t, u, a, 2*b+1, visit) && pairsBetween(t, u, a, 2*b+2, visit)
	}
	i0, i1 := t.items(a)
	j0, j1 := u.items(b)
	for i := i0; i < i1; i++ {
		for j := j0; j < j1; j++ {
			if !visit(i, j) {
				return false
			}
		}
	}
	return true
}

// deeper reports whether box a of t is the larger one, so that it is opened
// first.
func (t *tree) deeper(a int, u *tree, b int) bool {
	return perimeter(t.boxes[a]) >= perimeter(u.boxes[b])
}

func perimeter(b plane.Box) int64 {
	return int64(b.Max.X) - int64(b.Min.X) + int64(b.Max.Y) - int64(b.Min.Y)
}

func compareSegments(s, t segment) int {
	return cmp.Or(s.A.Compare(t.A), s.B.Compare(t.B))
}

// morton numbers the middles of segments along a space-filling curve (G. M.
// Morton, 1966), so that a tree over them has small boxes.
func morton(s segment) uint64 {
	x := uint32((int64(s.A.X)+int64(s.B.X))/2 + 1<<31)
	y := uint32((int64(s.A.Y)+int64(s.B.Y))/2 + 1<<31)
	return spread(x)<<1 | spread(y)
}

func spread(v uint32) uint64 {
	x := uint64(v)
	x = (x | x<<16) & 0x0000ffff0000ffff
	x = (x | x<<8) & 0x00ff00ff00ff00ff
	x = (x | x<<4) & 0x0f0f0f0f0f0f0f0f
	x = (x | x<<2) & 0x3333333333333333
	return (x | x<<1) & 0x5555555555555555
}
