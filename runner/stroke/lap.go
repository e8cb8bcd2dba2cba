package stroke

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
)

// A touch into a corner of a wide place begins where the outermost lane turns:
// both are as deep inside the shape as the widest mark's radius. The lane may
// go out into the corner and come back there.

// lapReach is how far, in grid steps, a touch may begin from the lane that
// takes it in. Lanes are thinned by less.
const lapReach = 0.01 * plane.PerMM

// cell is a square of the sheet, as wide as lapReach.
type cell struct{ x, y int32 }

func cellOf(p Point) cell {
	return cell{int32(math.Floor(float64(p.X) / lapReach)), int32(math.Floor(float64(p.Y) / lapReach))}
}

// spot is a point of a gesture.
type spot struct{ gesture, point int }

// detours has lanes go out into corners and back. It returns the lanes, and for
// each touch whether a lane took it in. The points of the argument must not be
// used any more.
func detours(lanes, touches []Gesture) (out []Gesture, taken []bool) {
	at := laneSpots(lanes, touches)
	out, taken = slices.Clone(lanes), make([]bool, len(touches))
	for i := range out {
		out[i].Points = slices.Compact(out[i].Points)
	}
	bySpot := map[spot][]Gesture{}
	changed := map[int]bool{} // lanes
	for i, s := range at {
		if s.gesture >= 0 {
			bySpot[s] = append(bySpot[s], touches[i])
			taken[i], changed[s.gesture] = true, true
		}
	}
	for i := range changed {
		out[i].Points = lanes[i].withDetours(func(point int) []Gesture { return bySpot[spot{i, point}] })
	}
	return out, taken
}

// laneSpots finds for each touch the point of a lane nearest to where it begins,
// the first of several, within lapReach; a gesture of -1 stands for none.
func laneSpots(lanes, touches []Gesture) []spot {
	at, least := make([]spot, len(touches)), make([]float64, len(touches))
	near := map[cell][]int{} // touches, by all cells from which a point may be near
	for i, touch := range touches {
		at[i], least[i] = spot{gesture: -1}, lapReach
		c := cellOf(touch.Points[0])
		for dx := int32(-1); dx <= 1; dx++ {
			for dy := int32(-1); dy <= 1; dy++ {
				k := cell{c.x + dx, c.y + dy}
				near[k] = append(near[k], i)
			}
		}
	}
	for i, g := range lanes {
		for k, q := range g.Points {
			for _, t := range near[cellOf(q)] {
				d := plane.Distance(touches[t].Points[0].Plane(), q.Plane())
				if d < least[t] || d == least[t] && at[t].gesture < 0 {
					at[t], least[t] = spot{i, k}, d
				}
			}
		}
	}
	return at
}

// withDetours returns the gesture's points, with the way out and back of each of
// the touches at a point.
func (g Gesture) withDetours(touches func(point int) []Gesture) []Point {
	var points []Point
	add := func(q Point) {
		if n := len(points); n == 0 || points[n-1] != q {
			points = append(points, q)
		}
	}
	for k, q := range g.Points {
		add(q)
		for _, touch := range touches(k) {
			for _, t := range touch.Points {
				add(t)
			}
			for _, t := range slices.Backward(touch.Points) {
				add(t)
			}
			add(q)
		}
	}
	return points
}
