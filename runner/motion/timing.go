package motion

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

// MoveTime is the time in s of a straight move of d mm that begins at v0 mm/s,
// ends at v1 mm/s, is nowhere faster than limit mm/s, and speeds up and slows
// down by a mm/s² (L. Biagiotti, C. Melchiorri, Trajectory Planning for
// Automatic Machines and Robots, 2008, ch. 3). top is the highest speed
// reached. An acceleration of 0 means that every speed is reached at once.
//
// If d is too short to change from v0 to v1, it returns the time at their mean.
func MoveTime(d, v0, v1, limit, a float64) (seconds, top float64) {
	switch {
	case d <= 0 || limit <= 0:
		return 0, 0
	case a <= 0:
		return d / limit, limit
	}
	v0, v1 = min(v0, limit), min(v1, limit)
	squares := float64(v0*v0) + float64(v1*v1)
	top = math.Sqrt((float64(float64(2*a)*d) + squares) / 2)
	if highest := max(v0, v1); top < highest {
		return 2 * d / (v0 + v1), highest
	}
	if top <= limit {
		return (float64(2*top) - v0 - v1) / a, top
	}
	ramps := (float64(float64(2*limit)*limit) - squares) / float64(2*a)
	return (float64(2*limit)-v0-v1)/a + (d-ramps)/limit, limit
}

// CornerSpeed is the speed in mm/s at which a corner can be taken if the path
// may be cut short by e mm there: that on the circle which touches both legs
// and passes e from the corner, R = e·sin(q/2)/(1-sin(q/2)) and v = √(a·R).
// halfSin is sin(q/2) for the angle q between the legs, 1 on a straight path.
// Common practice, no source.
func CornerSpeed(e, a, halfSin float64) float64 {
	if halfSin >= 1 {
		return math.Inf(1)
	}
	return math.Sqrt(float64(a * (float64(e*halfSin) / (1 - halfSin))))
}

// cornerCut is how far (mm) the machine is assumed to cut corners. It is used
// only to estimate times. Common practice, no source.
const cornerCut = 0.05

// timer estimates how long moves take.
type timer struct {
	machine *model.Machine
	speeds  []float64 // buffer that path reuses
}

// travel is the time in s of a lifted move of d mm, from rest to rest.
func (t *timer) travel(d float64) float64 {
	seconds, _ := MoveTime(d, 0, 0, t.machine.TravelFeed/60, t.machine.Acceleration)
	return seconds
}

// path is the time in s of the moves after the first one, which is where the
// path starts. It goes from rest to rest, through corners as fast as
// CornerSpeed allows, and can speed up and slow down as needed.
func (t *timer) path(moves []Move) float64 {
	a := t.machine.Acceleration
	n := len(moves) - 1
	if n < 1 {
		return 0
	}
	if cap(t.speeds) < n+1 {
		t.speeds = make([]float64, n+1)
	}
	v := t.speeds[:n+1] // mm/s at the start of each move, and at the end
	v[0], v[n] = 0, 0
	for i := 1; i < n; i++ {
		v[i] = min(float64(moves[i].Feed), float64(moves[i+1].Feed)) / 60
		if a > 0 {
			v[i] = min(v[i], CornerSpeed(cornerCut, a, halfSin(moves[i-1], moves[i], moves[i+1])),
				reachable(v[i-1], distance(moves[i-1], moves[i]), a))
		}
	}
	seconds := 0.0
	for i := n; i > 0; i-- {
		d := distance(moves[i-1], moves[i])
		if a > 0 {
			v[i-1] = min(v[i-1], reachable(v[i], d, a))
		}
		s, _ := MoveTime(d, v[i-1], v[i], float64(moves[i].Feed)/60, a)
		seconds += s
	}
	return seconds
}

// reachable is the speed reached from v mm/s over d mm.
func reachable(v, d, a float64) float64 { return math.Sqrt(float64(v*v) + float64(float64(2*a)*d)) }

// halfSin is sin(q/2) for the angle q between the legs at b: with the cosine c
// of the change of direction it is √((1+c)/2).
func halfSin(a, b, c Move) float64 {
	d1, d2 := distance(a, b), distance(b, c)
	if d1 == 0 || d2 == 0 {
		return 0
	}
	along := (int64(b.X)-int64(a.X))*(int64(c.X)-int64(b.X)) + (int64(b.Y)-int64(a.Y))*(int64(c.Y)-int64(b.Y)) +
		(int64(b.Z)-int64(a.Z))*(int64(c.Z)-int64(b.Z))
	cos := float64(along) / (plane.PerMM * plane.PerMM) / float64(d1*d2)
	return math.Sqrt(max(0, (1+min(cos, 1))/2))
}
