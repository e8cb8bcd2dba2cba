package order

import (
	"math"

	"mahlstick/runner/plane"
)

// tour is an order of units, with the end at which each of them begins.
type tour struct {
	start   plane.Point
	home    plane.Point      // where it ends
	returns bool             // the way to home counts
	ends    [][2]plane.Point // first and last point of each unit
	fixed   []bool           // the unit must be painted from its first point
	// exits are where the brush leaves a unit that is painted from its first and
	// from its last point, and inside the travel within it, in grid steps; nil if all
	// units end at their other end and are painted without travel.
	exits  [][2]plane.Point
	inside [][2]float64

	order []int32 // units in the order of painting
	flip  []bool  // by unit: painted from its last point
	pos   []int32 // by unit: its position in order
}

// plan finds a short tour.
func (t *tour) plan() {
	t.nearestFirst()
	improve(t)
}

// addUnit adds a unit to those that are to be put in order.
func (t *tour) addUnit(u *unit) {
	t.ends = append(t.ends, [2]plane.Point{u.first(), u.last()})
	t.fixed = append(t.fixed, u.fixed)
	if t.exits == nil && !u.touched() {
		return
	}
	for i := len(t.exits); i < len(t.ends)-1; i++ { // of those before
		t.exits, t.inside = append(t.exits, [2]plane.Point{t.ends[i][1], t.ends[i][0]}), append(t.inside, [2]float64{})
	}
	var exits [2]plane.Point
	var inside [2]float64
	exits[0], inside[0] = u.exit(false)
	exits[1], inside[1] = u.exit(true)
	t.exits, t.inside = append(t.exits, exits), append(t.inside, inside)
}

// enter is where a unit begins if it is painted from its last point, or from its
// first.
func (t *tour) enter(u int32, turned bool) plane.Point {
	if turned {
		return t.ends[u][1]
	}
	return t.ends[u][0]
}

// leave is where such a unit ends.
func (t *tour) leave(u int32, turned bool) plane.Point {
	if t.exits != nil {
		if turned {
			return t.exits[u][1]
		}
		return t.exits[u][0]
	}
	return t.enter(u, !turned)
}

// in is the point at which the unit at position k begins; after the last unit
// it is home.
func (t *tour) in(k int) plane.Point {
	if k >= len(t.order) {
		return t.home
	}
	u := t.order[k]
	return t.enter(u, t.flip[u])
}

// out is the point at which the unit at position k ends; before the first unit
// it is the start.
func (t *tour) out(k int) plane.Point {
	if k < 0 {
		return t.start
	}
	u := t.order[k]
	return t.leave(u, t.flip[u])
}

// link is the travel between the units at positions k and k+1.
func (t *tour) link(k int) float64 {
	if k == len(t.order)-1 && !t.returns {
		return 0
	}
	return plane.Distance(t.out(k), t.in(k+1))
}

// toIn is the travel from p to the beginning of the unit at position k.
func (t *tour) toIn(p plane.Point, k int) float64 {
	if k == len(t.order) && !t.returns {
		return 0
	}
	return plane.Distance(p, t.in(k))
}

// turnedIn and turnedOut are where the unit at position k would begin and end if
// it were turned.
func (t *tour) turnedIn(k int) plane.Point {
	u := t.order[k]
	return t.enter(u, !t.flip[u])
}

func (t *tour) turnedOut(k int) plane.Point {
	u := t.order[k]
	return t.leave(u, !t.flip[u])
}

// savedInside is how much shorter the tour gets between the ends of the stretch from
// position i to position j if that is painted backwards. Units without exits of
// their own save nothing there.
func (t *tour) savedInside(i, j int) float64 {
	if t.exits == nil {
		return 0
	}
	saved := 0.0
	for k := i; k <= j; k++ {
		u := t.order[k]
		now, then := t.inside[u][0], t.inside[u][1]
		if t.flip[u] {
			now, then = then, now
		}
		saved += now - then
		if k < j {
			saved += plane.Distance(t.out(k), t.in(k+1)) - plane.Distance(t.turnedOut(k+1), t.turnedIn(k))
		}
	}
	return saved
}

// add puts a unit at the end of the tour.
func (t *tour) add(unit int32, flip bool) {
	t.pos[unit], t.flip[unit] = int32(len(t.order)), flip
	t.order = append(t.order, unit)
}

// endPoints lists the ends of all units by their numbers: 2·unit for the first
// and 2·unit+1 for the last point.
func endPoints(ends [][2]plane.Point) []plane.Point {
	at := make([]plane.Point, 2*len(ends))
	for u, e := range ends {
		at[2*u], at[2*u+1] = e[0], e[1]
	}
	return at
}

// nearestFirst makes the tour that always continues at the nearest end that is
// left; of two equally near ones it takes the unit listed first.
func (t *tour) nearestFirst() {
	n := len(t.ends)
	t.order, t.flip, t.pos = make([]int32, 0, n), make([]bool, n), make([]int32, n)
	at := endPoints(t.ends)
	left := make([]int32, 0, 2*n)
	for u := range t.ends {
		left = append(left, int32(2*u))
		if !t.fixed[u] {
			left = append(left, int32(2*u+1))
		}
	}
	g, size := newGrid(at, left), len(left)
	done := make([]bool, n)
	here := t.start
	for len(t.order) < n {
		best := g.nearest(here)
		u := best / 2
		g.remove(2 * u)
		size--
		if !t.fixed[u] {
			g.remove(2*u + 1)
			size--
		}
		done[u] = true
		t.add(u, best%2 == 1)
		here = t.out(len(t.order) - 1)
		// Empty cells are searched in vain: make the cells larger.
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

// nearest is the end nearest to p, of equally near ones that with the lowest
// number.
func (g *grid) nearest(p plane.Point) int32 {
	best, least := int32(-1), math.Inf(1)
	g.visit(p,
		func(reach float64) bool { return reach <= least },
		func(cell []int32) {
			for _, e := range cell {
				if d := plane.Distance(p, g.at[e]); d < least || d == least && e < best {
					best, least = e, d
				}
			}
		})
	return best
}
