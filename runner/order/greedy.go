package order

import (
	"math"

	"mahlstick/runner/plane"
)

// tour is an order of units and the end from which each is painted.
type tour struct {
	start   plane.Point
	returns bool             // the way back to start counts
	ends    [][2]plane.Point // first and last point of each unit
	fixed   []bool           // the unit may only be painted from its first point

	order []int32 // units in the order of painting
	flip  []bool  // by unit: painted from its last point
	pos   []int32 // by unit: where in order
}

// in is where the unit at place k of the tour is begun; behind the last one it
// is the start.
func (t *tour) in(k int) plane.Point {
	if k >= len(t.order) {
		return t.start
	}
	u := t.order[k]
	if t.flip[u] {
		return t.ends[u][1]
	}
	return t.ends[u][0]
}

// out is where the unit at place k of the tour is left; before the first one
// it is the start.
func (t *tour) out(k int) plane.Point {
	if k < 0 {
		return t.start
	}
	u := t.order[k]
	if t.flip[u] {
		return t.ends[u][0]
	}
	return t.ends[u][1]
}

func (t *tour) plan() {
	t.nearest()
	t.improve()
}

// nearest makes the tour that always goes on to the nearest end that is left,
// of two equally near ones to the unit listed first.
func (t *tour) nearest() {
	n := len(t.ends)
	t.order, t.flip, t.pos = make([]int32, 0, n), make([]bool, n), make([]int32, n)
	at := make([]plane.Point, 2*n)
	left := make([]int32, 0, 2*n)
	for u, ends := range t.ends {
		at[2*u], at[2*u+1] = ends[0], ends[1]
		left = append(left, int32(2*u))
		if !t.fixed[u] {
			left = append(left, int32(2*u+1))
		}
	}
	g, size := newGrid(at, left), len(left)
	done := make([]bool, n)
	here := t.start
	for len(t.order) < n {
		best, bestDistance := int32(-1), math.Inf(1)
		g.visit(here,
			func(least float64) bool { return least <= bestDistance },
			func(cell []int32) {
				for _, e := range cell {
					if d := plane.Distance(here, at[e]); d < bestDistance || d == bestDistance && e < best {
						best, bestDistance = e, d
					}
				}
			})
		u := best / 2
		g.remove(2 * u)
		size--
		if !t.fixed[u] {
			g.remove(2*u + 1)
			size--
		}
		done[u] = true
		t.pos[u], t.flip[u] = int32(len(t.order)), best%2 == 1
		t.order = append(t.order, u)
		here = t.out(len(t.order) - 1)
		// Cells that have run empty are searched in vain: make them larger.
		if size < len(left)/4 {
			kept := left[:0]
			for _, e := range left {
				if !done[e/2] {
					kept = append(kept, e)
				}
			}
			left = kept
			g, size = newGrid(at, left), len(left)
		}
	}
}
