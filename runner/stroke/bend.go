package stroke

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

const (
	// Distance to either side over which a line's bend is averaged, in grid steps.
	// Over less the rounding to the grid would show.
	bendReach = plane.PerMM / 2
	// How far the chords of a drawn curve may leave it, in grid steps. Corners that
	// stand out farther were meant as corners.
	chordSag = 0.0075 * plane.PerMM
)

// heading is the direction of the line at a distance from its start, in radians
// from its first direction, and the integral of the direction up to there.
// Between two headings the direction changes evenly.
type heading struct{ at, angle, sum float64 }

// chordTurn is the turn between two chords, and the distances before and after
// their common point over which the line turns; both 0 at a corner.
type chordTurn struct{ by, before, after float64 }

func (c chordTurn) smooth() bool { return c.before > 0 }

// rate is the turn per grid step.
func (c chordTurn) rate() float64 { return c.by / (c.before + c.after) }

// chordTurns lists the turns between the chords.
func (t *track) chordTurns() []chordTurn {
	out := make([]chordTurn, len(t.points)-2)
	for i := range out {
		back, ahead := t.chordLength(i), t.chordLength(i+1)
		u, v := t.chord(i), t.chord(i+1)
		c := chordTurn{by: arith.Atan2(u.Cross(v), u.Dot(v))}
		// A chord of length d whose arc turns by t lies d·t/8 inside the arc.
		if mul(math.Abs(c.by), min(back, ahead)) <= 8*chordSag {
			c.before, c.after = min(back, 3*ahead)/2, min(ahead, 3*back)/2
		}
		out[i] = c
	}
	// The chords of a flattened curve lie half inside and half outside it, but its
	// ends lie on it: the first and the last chord are tilted.
	if n := len(out); n > 1 {
		out[0].straighten(out[1], t.chordLength(0), t.chordLength(1))
		out[n-1].straighten(out[n-2], t.chordLength(n), t.chordLength(n-1))
	}
	return out
}

// straighten sets the turn at the outermost chord to the rate of the next one,
// if both belong to one curve.
func (c *chordTurn) straighten(next chordTurn, outer, inner float64) {
	if c.smooth() && next.smooth() && outer < 1.5*inner {
		c.by = mul(next.rate(), c.before+c.after)
	}
}

// findHeadings finds the directions of the line that was drawn. A curve comes
// as chords: it has the chord's direction in the middle of each, and turns
// evenly in between, as a circle does. At a corner its direction jumps.
func (t *track) findHeadings() []heading {
	if len(t.points) < 3 {
		return nil
	}
	turns := t.chordTurns()
	var out []heading
	add := func(at, angle float64) {
		sum := 0.0
		if k := len(out); k > 0 {
			sum = out[k-1].sum + mul((out[k-1].angle+angle)/2, at-out[k-1].at)
		}
		out = append(out, heading{at, angle, sum})
	}
	// The outermost chords turn as the line does next to them.
	first, last := 0.0, 0.0
	if c := turns[0]; c.smooth() && c.before == t.chordLength(0)/2 {
		first = mul(c.rate(), c.before)
	}
	if c := turns[len(turns)-1]; c.smooth() && c.after == t.chordLength(len(turns))/2 {
		last = mul(c.rate(), c.after)
	}
	add(0, -first)
	angle := 0.0
	for i, c := range turns {
		add(t.from[i+1]-c.before, angle)
		angle += c.by
		add(t.from[i+1]+c.after, angle)
	}
	add(t.length, angle+last)
	return out
}

// chordLength is in grid steps.
func (t *track) chordLength(i int) float64 { return t.from[i+1] - t.from[i] }

func (t *track) chord(i int) vector.XY { return t.points[i+1].XY().Minus(t.points[i].XY()) }

// turned is the integral of the heading from the start to distance s.
func (t *track) turned(s float64) float64 {
	i, _ := slices.BinarySearchFunc(t.headings, s, func(k heading, s float64) int {
		if k.at <= s {
			return -1
		}
		return 1
	})
	a := t.headings[max(i-1, 0)]
	angle := a.angle
	if i > 0 && i < len(t.headings) {
		if b := t.headings[i]; b.at > a.at {
			angle += mul((b.angle-a.angle)/2, (s-a.at)/(b.at-a.at))
		}
	}
	return a.sum + mul(angle, s-a.at)
}

// Bends returns a function for the curvature of a line in 1/mm, positive to the
// left, at a distance in mm from its start: bend in a width formula.
func Bends(points []plane.Point) func(distance float64) float64 {
	t := newTrack(points)
	return func(distance float64) float64 {
		if t == nil {
			return 0
		}
		return t.bend(mul(distance, plane.PerMM))
	}
}

// bend is the curvature at distance s in 1/mm, positive to the left: the change
// of direction with distance, averaged over bendReach to either side, the
// nearest with the greatest weight. (Own derivation; a circle has its own
// curvature everywhere.)
func (t *track) bend(s float64) float64 {
	reach := min(bendReach, t.length/2)
	if t.headings == nil || reach <= 0 {
		return 0
	}
	s = min(max(s, reach), t.length-reach)
	return mul((t.turned(s+reach)-2*t.turned(s)+t.turned(s-reach))/reach/reach, plane.PerMM)
}
