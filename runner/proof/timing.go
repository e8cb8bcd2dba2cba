package proof

import "math"

// Timing is what the time of a program depends on, in addition to its text.
type Timing struct {
	Travel       float64 // mm/min of a rapid; 0: rapids take no time
	ZFeed        float64 // fastest feed of Z, mm/min; 0: no limit
	Acceleration float64 // mm/s²; 0: every speed is reached at once
	// Corner is how far, in mm, the machine may cut a corner short without
	// stopping; 0: it stops at each.
	Corner float64
	// Axes are X, Y and Z each by itself; the zero value where that is not known.
	// Then one acceleration holds along every path.
	Axes [3]AxisMotion
}

// AxisMotion is how fast an axis moves, in mm/min, and changes its speed, in
// mm/s².
type AxisMotion struct{ Feed, Acceleration float64 }

// Seconds is the time in s of each move; a pause takes 0. The machine stops at
// dwells and pauses only. It takes corners on a circle, at the speed that the
// acceleration allows on it.
func (p *Path) Seconds(t Timing) []float64 {
	d := drive{Timing: t, seconds: make([]float64, len(p.Moves))}
	d.along(p)
	return d.seconds
}

// drive is a machine that follows a path.
type drive struct {
	Timing
	seconds []float64    // of each move
	ends    [][2]float64 // speeds at the two ends of each move, mm/s; nil if they are not wanted
	legs    []leg        // since the last stop
	courses []course     // of the legs, if each axis counts by itself
}

// along follows a path from stop to stop.
func (d *drive) along(p *Path) {
	longest, from := 0, 0 // moves between two stops
	for i := range p.Moves {
		if k := p.Moves[i].Kind; k == Dwell || k == Pause {
			from = i + 1
		}
		longest = max(longest, i+1-from)
	}
	d.legs = make([]leg, 0, longest)
	byAxis := d.byAxis()
	var final Point // direction in which the leg before ends
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Dwell || m.Kind == Pause {
			d.seconds[i] = m.Seconds
			d.stop()
			continue
		}
		l, c, ok := d.leg(m)
		if !ok {
			continue
		}
		l.move = i
		if byAxis {
			d.courses = append(d.courses, c)
		} else if n := len(d.legs); n > 0 && d.Acceleration > 0 {
			before := &d.legs[n-1]
			l.enter = min(before.speed, l.speed, d.cornerSpeed(final, c.first, min(before.length, l.length)/2))
		}
		d.legs, final = append(d.legs, l), c.final
	}
	d.stop()
}

// course is in which direction a leg goes at its two ends, of length 1, and how
// fast it changes its speed.
type course struct {
	first, final Point
	acceleration float64 // mm/s²
	arc          bool
}

// leg is a move between two stops.
type leg struct {
	move   int
	length float64 // mm
	speed  float64 // mm/s at most
	enter  float64 // mm/s at the start
}

// leg is the leg of a move and its course; false if it takes no time.
func (t Timing) leg(m *Move) (l leg, c course, ok bool) {
	c.acceleration = t.Acceleration
	l = leg{length: m.Length(), speed: m.Feed / 60}
	if m.Kind == Rapid {
		l.speed = t.Travel / 60
	}
	if l.length == 0 || l.speed == 0 {
		return l, c, false
	}
	rise := math.Abs(m.To.Z - m.From.Z)
	if m.Helix == nil {
		c.first = Point{(m.To.X - m.From.X) / l.length, (m.To.Y - m.From.Y) / l.length, (m.To.Z - m.From.Z) / l.length}
		c.final = c.first
		t.alongLine(&l, &c)
	} else {
		c.arc = true
		c.first, c.final = m.tangents(l.length)
		if m.Helix.Plane != 17 {
			rise = l.length // Z may move at full speed somewhere along the arc
		}
		t.alongArc(&l, &c, m.Helix.Plane)
		if c.acceleration > 0 {
			l.speed = min(l.speed, math.Sqrt(float64(c.acceleration*m.Helix.Radius)))
		}
	}
	if most := float64(t.ZFeed*l.length) / 60; t.ZFeed > 0 && float64(l.speed*rise) > most {
		l.speed = most / rise
	}
	return l, c, true
}

// tangents are the directions of an arc of the given length at its two ends.
func (m *Move) tangents(length float64) (first, final Point) {
	t := m.Helix
	ca, cb, _ := inPlane(t.Plane, t.Centre)
	_, _, from := inPlane(t.Plane, m.From)
	_, _, to := inPlane(t.Plane, m.To)
	rise := (to - from) / length
	round := t.planeLength() / length
	if t.Sweep < 0 {
		round = -round
	}
	at := func(p Point) Point {
		a, b, _ := inPlane(t.Plane, p)
		a, b = a-ca, b-cb
		r := root(a, b)
		return outOfPlane(t.Plane, -float64(b*round)/r, float64(a*round)/r, rise)
	}
	return at(m.From), at(m.To)
}

// stop computes the time of the legs since the last stop.
func (d *drive) stop() {
	legs := d.legs
	d.legs = d.legs[:0]
	if len(legs) == 0 {
		return
	}
	if d.Acceleration <= 0 && !d.byAxis() {
		for _, l := range legs {
			d.take(l, l.length/l.speed, l.speed, l.speed)
		}
		return
	}
	if len(d.courses) > 0 {
		d.corners(legs, d.courses)
	}
	// No leg is entered faster than it can brake for the next, or than the one
	// before it can reach.
	next := 0.0
	for i := len(legs) - 1; i > 0; i-- {
		l := &legs[i]
		l.enter = min(l.enter, math.Sqrt(float64(next*next)+float64(float64(2*d.accelerates(i))*l.length)))
		next = l.enter
	}
	for i := range legs {
		l := &legs[i]
		leave, a := 0.0, d.accelerates(i)
		if i+1 < len(legs) {
			n := &legs[i+1]
			n.enter = min(n.enter, math.Sqrt(float64(l.enter*l.enter)+float64(float64(2*a)*l.length)))
			leave = n.enter
		}
		d.take(*l, trapezoid(l.length, l.enter, leave, l.speed, a), l.enter, leave)
	}
	d.courses = d.courses[:0]
}

// accelerates is the acceleration (mm/s²) along a leg.
func (d *drive) accelerates(leg int) float64 {
	if len(d.courses) > 0 {
		return d.courses[leg].acceleration
	}
	return d.Acceleration
}

// take notes how a leg is made.
func (d *drive) take(l leg, seconds, enter, leave float64) {
	d.seconds[l.move] = seconds
	if d.ends != nil {
		d.ends[l.move] = [2]float64{enter, leave}
	}
}

// cornerSpeed is the speed (mm/s) at which a corner between two directions is
// taken: on the circle that touches both legs and passes within e = t.Corner of
// the corner, but touches them no farther than reach (mm) from it. With the
// angle q between the legs, the first has the radius e sin(q/2) / (1 - sin(q/2)),
// the second reach tan(q/2); common practice, no source.
func (t Timing) cornerSpeed(in, out Point, reach float64) float64 {
	radius := t.cornerRadius(in, out, reach)
	if math.IsInf(radius, 1) {
		return radius
	}
	return math.Sqrt(float64(t.Acceleration * radius))
}

// cornerRadius is the radius (mm) of that circle, infinite straight on.
func (t Timing) cornerRadius(in, out Point, reach float64) float64 {
	cosine := float64(in.X*out.X) + float64(in.Y*out.Y) + float64(in.Z*out.Z) // of the turn, 180° less q
	sineHalf := math.Sqrt(max(0, 1+cosine) / 2)
	cosineHalf := math.Sqrt(max(0, 1-cosine) / 2)
	if cosineHalf < 1e-9 {
		return math.Inf(1)
	}
	return min(float64(t.Corner*sineHalf)/max(1-sineHalf, 1e-18), float64(reach*sineHalf)/cosineHalf)
}

// trapezoid is the time in s for a length (mm) that is entered and left at the
// given speeds, which can be reached on it, at no more than the given speed
// (mm/s), with the given acceleration (mm/s²). From v² - v0² = 2 a d for both
// flanks the peak is v² = a d + (v0² + v1²)/2. Source of the motion law: L. Biagiotti,
// C. Melchiorri, Trajectory Planning for Automatic Machines and Robots, 2008,
// chapter 3 (from memory).
func trapezoid(length, enter, leave, speed, acceleration float64) float64 {
	half := (float64(enter*enter) + float64(leave*leave)) / 2
	peak := math.Sqrt(float64(acceleration*length) + half)
	if peak <= speed {
		return max(0, peak-enter)/acceleration + max(0, peak-leave)/acceleration
	}
	flanks := (float64(speed*speed) - half) / acceleration
	return (speed-enter)/acceleration + (speed-leave)/acceleration + max(0, length-flanks)/speed
}
