package proof

import "math"

// byAxis reports whether each axis has an acceleration of its own.
func (t Timing) byAxis() bool {
	for _, a := range t.Axes {
		if a.Acceleration <= 0 {
			return false
		}
	}
	return true
}

// along are the greatest speed (mm/s) and acceleration (mm/s²) in a direction
// of length 1: the axis that has most to do sets them.
func (t Timing) along(d Point) (speed, acceleration float64) {
	speed, acceleration = math.Inf(1), math.Inf(1)
	for i, part := range [...]float64{d.X, d.Y, d.Z} {
		if part = math.Abs(part); part == 0 {
			continue
		}
		acceleration = min(acceleration, t.Axes[i].Acceleration/part)
		if f := t.Axes[i].Feed; f > 0 {
			speed = min(speed, f/60/part)
		}
	}
	return speed, acceleration
}

// alongLine limits a straight leg to what its axes can do.
func (t Timing) alongLine(l *leg, c *course) {
	if !t.byAxis() {
		return
	}
	var speed float64
	speed, c.acceleration = t.along(c.first)
	l.speed = min(l.speed, speed)
}

// alongArc limits an arc to what the axes of its plane can do: each of two
// may have the whole speed somewhere, and the pull to the centre and the change
// of speed share their acceleration.
func (t Timing) alongArc(l *leg, c *course, plane int) {
	if !t.byAxis() {
		return
	}
	a, b := t.Axes[0], t.Axes[1]
	switch plane {
	case 18:
		b = t.Axes[2]
	case 19:
		a = t.Axes[2]
	}
	c.acceleration = min(a.Acceleration, b.Acceleration) / math.Sqrt2
	for _, f := range [...]float64{a.Feed, b.Feed} {
		if f > 0 {
			l.speed = min(l.speed, f/60)
		}
	}
}

const (
	// straightShare is the part of the tolerance at corners within which a run of
	// short legs counts as straight. The machine looks ahead over it: what the
	// rounding of coordinates makes of a straight way is no corner.
	straightShare = 0.05
	// straightLeast (mm) is the least such tolerance, unless the machine cuts
	// corners by less: the last decimal of a program.
	straightLeast = 0.001
	// straightLegs bounds how many legs are looked at together.
	straightLegs = 64
)

// corners sets the speed at which each leg is entered, as far as corners limit
// it. Legs that together are nearly straight are one run; there are corners only
// between runs.
func (t Timing) corners(legs []leg, courses []course) {
	var last stretch // the run before
	for begin := 0; begin < len(legs); {
		run := t.straight(legs, courses, begin)
		for i := max(begin, 1); i < run.end; i++ {
			legs[i].enter = min(legs[i-1].speed, legs[i].speed)
		}
		if begin > 0 {
			l := &legs[begin]
			l.enter = min(l.enter, t.axisCornerSpeed(last.final, run.first, min(last.length, run.length)/2))
		}
		begin, last = run.end, run
	}
}

// axisCornerSpeed is the speed (mm/s) at a corner: as cornerSpeed, with the
// acceleration that the axes have towards the inside of the corner.
func (t Timing) axisCornerSpeed(in, out Point, reach float64) float64 {
	radius := t.cornerRadius(in, out, reach)
	turn := Point{out.X - in.X, out.Y - in.Y, out.Z - in.Z}
	size := length3(turn.X, turn.Y, turn.Z)
	if math.IsInf(radius, 1) || size == 0 {
		return math.Inf(1)
	}
	_, inwards := t.along(Point{turn.X / size, turn.Y / size, turn.Z / size})
	return math.Sqrt(float64(inwards * radius))
}

// stretch is a nearly straight run of legs.
type stretch struct {
	end          int // the leg after it
	length       float64
	first, final Point // directions at its ends, of length 1
}

// straight finds the run that begins with a leg.
func (t Timing) straight(legs []leg, courses []course, begin int) stretch {
	run := stretch{begin + 1, legs[begin].length, courses[begin].first, courses[begin].final}
	if courses[begin].arc {
		return run
	}
	tolerance := min(t.Corner, max(straightShare*t.Corner, straightLeast))
	at := scaled(run.first, run.length)
	var places [straightLegs]Point // ends of the legs, from the start of the run
	places[0] = at
	n := 1
	for ; run.end < len(legs) && n < straightLegs && !courses[run.end].arc; run.end++ {
		length, first := legs[run.end].length, courses[run.end].first
		next := Point{at.X + float64(first.X*length), at.Y + float64(first.Y*length), at.Z + float64(first.Z*length)}
		if !within(places[:n], next, tolerance) {
			break
		}
		at, places[n] = next, next
		n++
		run.length += length
	}
	if n > 1 {
		run.first = scaled(at, 1/length3(at.X, at.Y, at.Z))
		run.final = run.first
	}
	return run
}

func scaled(p Point, by float64) Point {
	return Point{float64(p.X * by), float64(p.Y * by), float64(p.Z * by)}
}

// within reports whether points lie in order along the straight way from zero to
// an end, within a tolerance (mm).
func within(points []Point, end Point, tolerance float64) bool {
	size := length3(end.X, end.Y, end.Z)
	along := 0.0
	for _, q := range points {
		s := (float64(q.X*end.X) + float64(q.Y*end.Y) + float64(q.Z*end.Z)) / size
		if !(s > along && s < size) {
			return false
		}
		along = s
		off := Point{q.X - float64(end.X*s)/size, q.Y - float64(end.Y*s)/size, q.Z - float64(end.Z*s)/size}
		if length3(off.X, off.Y, off.Z) > tolerance+1e-9 {
			return false
		}
	}
	return true
}
