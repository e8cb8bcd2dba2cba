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
// each touch whether a lane took it in.
func detours(lanes, touches []Gesture) (out []Gesture, taken []bool) {
	near := map[cell][]spot{}
	for i, g := range lanes {
		for k, q := range g.Points {
			near[cellOf(q)] = append(near[cellOf(q)], spot{i, k})
		}
	}
	out, taken = slices.Clone(lanes), make([]bool, len(touches))
	at := map[spot][]Gesture{}
	for i, touch := range touches {
		if s, ok := nearest(lanes, near, touch.Points[0]); ok {
			at[s], taken[i] = append(at[s], touch), true
		}
	}
	for i, g := range lanes {
		var points []Point
		add := func(q Point) {
			if n := len(points); n == 0 || points[n-1] != q {
				points = append(points, q)
			}
		}
		for k, q := range g.Points {
			add(q)
			for _, touch := range at[spot{i, k}] {
				for _, t := range touch.Points {
					add(t)
				}
				for _, t := range slices.Backward(touch.Points) {
					add(t)
				}
				add(q)
			}
		}
		out[i].Points = points
	}
	return out, taken
}

// nearest finds the point of a lane nearest to where a touch begins; the first
// of several.
func nearest(lanes []Gesture, near map[cell][]spot, from Point) (best spot, ok bool) {
	least := lapReach
	c := cellOf(from)
	for dx := int32(-1); dx <= 1; dx++ {
		for dy := int32(-1); dy <= 1; dy++ {
			for _, s := range near[cell{c.x + dx, c.y + dy}] {
				d := plane.Distance(from.Plane(), lanes[s.gesture].Points[s.point].Plane())
				if first := !ok || s.gesture < best.gesture || s.gesture == best.gesture && s.point < best.point; d < least || d == least && first {
					best, least, ok = s, d, true
				}
			}
		}
	}
	return best, ok
}
