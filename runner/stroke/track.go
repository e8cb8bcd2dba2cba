package stroke

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// track measures a polyline by the distance from its start, in grid steps.
type track struct {
	points []plane.Point
	index  []int     // of each point in the line as drawn
	from   []float64 // distance of each point from the start
	length float64
	turns  []turn
}

// newTrack is nil for a line without points.
func newTrack(points []plane.Point) *track {
	t := &track{}
	for i, p := range points {
		if n := len(t.points); n == 0 || t.points[n-1] != p {
			if n > 0 {
				t.length += plane.Distance(p, t.points[n-1])
			}
			t.points, t.index, t.from = append(t.points, p), append(t.index, i), append(t.from, t.length)
		}
	}
	if len(t.points) == 0 {
		return nil
	}
	t.turns = t.turning()
	return t
}

// locate gives the edge on which the point at distance s lies, and the share
// of that edge before it.
func (t *track) locate(s float64) (i int, share float64) {
	lo, hi := 0, len(t.from)-1
	for hi-lo > 1 {
		if m := (lo + hi) / 2; t.from[m] <= s {
			lo = m
		} else {
			hi = m
		}
	}
	if len(t.from) < 2 {
		return 0, 0
	}
	return lo, min(max((s-t.from[lo])/(t.from[lo+1]-t.from[lo]), 0), 1)
}

func (t *track) at(s float64) axis.Point {
	i, share := t.locate(s)
	a := axis.Point{X: t.points[i].X, Y: t.points[i].Y}
	if share == 0 {
		return a
	}
	b := t.points[i+1]
	return between(a, axis.Point{X: b.X, Y: b.Y}, share)
}

// stops lists the distances of all corners, and those given.
func (t *track) stops(more ...float64) []float64 {
	out := append([]float64(nil), t.from...)
	for _, s := range more {
		if s > 0 && s < t.length {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// samples lists the stops, and more between them so that none are farther
// apart than sampleStep, or the length has been cut in mostSamples.
func (t *track) samples(more ...float64) []float64 {
	step := max(sampleStep, t.length/mostSamples)
	stops := t.stops(more...)
	out := stops[:1:1]
	for i := 1; i < len(stops); i++ {
		a, b := stops[i-1], stops[i]
		n := math.Ceil((b - a) / step)
		for k := 1.0; k < n; k++ {
			out = append(out, a+mul(k/n, b-a))
		}
		out = append(out, b)
	}
	return out
}

const (
	// Distance before and behind over which a line's bend is averaged, in grid
	// steps: over less the grid's rounding would show.
	bendReach = plane.PerMM / 2
	// How far the chords of a drawn curve may leave it, in grid steps: corners
	// that stand out farther were meant.
	chordSag = 0.0075 * plane.PerMM
)

// turn is a place on the line with its direction there, in radians from the
// first, and the integral of the direction up to it. Between two turns the
// direction changes evenly.
type turn struct{ at, angle, sum float64 }

// corner is where two chords meet: the turn between them, and how far before
// and behind it the line turns.
type corner struct{ by, before, after float64 }

func (c corner) smooth() bool { return c.before > 0 }

// rate is how much the line turns with distance.
func (c corner) rate() float64 { return c.by / (c.before + c.after) }

// corners are the places between the chords.
func (t *track) corners() []corner {
	out := make([]corner, len(t.points)-2)
	for i := range out {
		back, ahead := t.long(i), t.long(i+1)
		u, v := t.chord(i), t.chord(i+1)
		c := corner{by: arith.Atan2(u.Cross(v), u.Dot(v))}
		if mul(math.Abs(c.by), min(back, ahead)) <= 8*chordSag {
			c.before, c.after = min(back, 3*ahead)/2, min(ahead, 3*back)/2
		}
		out[i] = c
	}
	// The chords of a curve that was read balance on it, but its ends lie on it:
	// the first chord and the last stand askew.
	if n := len(out); n > 1 {
		out[0].straighten(out[1], t.long(0), t.long(1))
		out[n-1].straighten(out[n-2], t.long(n), t.long(n-1))
	}
	return out
}

// straighten makes the line turn at its outermost corner as at the next one,
// where both belong to one curve.
func (c *corner) straighten(next corner, outer, inner float64) {
	if c.smooth() && next.smooth() && outer < 1.5*inner {
		c.by = mul(next.rate(), c.before+c.after)
	}
}

// turning finds the direction of the line that was drawn. A curve comes as
// chords: in the middle of a chord it has the chord's direction, and between it
// turns evenly, as a circle does. At a corner it turns at once.
func (t *track) turning() []turn {
	if len(t.points) < 3 {
		return nil
	}
	corners := t.corners()
	var out []turn
	add := func(at, angle float64) {
		sum := 0.0
		if k := len(out); k > 0 {
			sum = out[k-1].sum + mul((out[k-1].angle+angle)/2, at-out[k-1].at)
		}
		out = append(out, turn{at, angle, sum})
	}
	// The outermost chords turn as the line does beside them.
	first, last := 0.0, 0.0
	if c := corners[0]; c.smooth() && c.before == t.long(0)/2 {
		first = mul(c.rate(), c.before)
	}
	if c := corners[len(corners)-1]; c.smooth() && c.after == t.long(len(corners))/2 {
		last = mul(c.rate(), c.after)
	}
	add(0, -first)
	angle := 0.0
	for i, c := range corners {
		add(t.from[i+1]-c.before, angle)
		angle += c.by
		add(t.from[i+1]+c.after, angle)
	}
	add(t.length, angle+last)
	return out
}

// long is the length of a chord.
func (t *track) long(i int) float64 { return t.from[i+1] - t.from[i] }

func (t *track) chord(i int) vector.XY { return t.points[i+1].XY().Minus(t.points[i].XY()) }

// turned is the integral of the direction up to distance s.
func (t *track) turned(s float64) float64 {
	i, _ := slices.BinarySearchFunc(t.turns, s, func(k turn, s float64) int {
		if k.at <= s {
			return -1
		}
		return 1
	})
	a := t.turns[max(i-1, 0)]
	angle := a.angle
	if i > 0 && i < len(t.turns) {
		if b := t.turns[i]; b.at > a.at {
			angle += mul((b.angle-a.angle)/2, (s-a.at)/(b.at-a.at))
		}
	}
	return a.sum + mul(angle, s-a.at)
}

// bend is the curvature at distance s, in 1/mm, positive to the left: the
// change of direction with distance, averaged over bendReach to either side,
// what is nearest with the greatest weight. (Own derivation; a circle has its
// own everywhere.)
func (t *track) bend(s float64) float64 {
	reach := min(bendReach, t.length/2)
	if t.turns == nil || reach <= 0 {
		return 0
	}
	s = min(max(s, reach), t.length-reach)
	return mul((t.turned(s+reach)-2*t.turned(s)+t.turned(s-reach))/reach/reach, plane.PerMM)
}
