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
}

// Seconds is the time in s of each move; a pause takes 0. The machine stops at
// dwells and pauses only. It takes corners on a circle, at the speed that the
// acceleration allows on it.
func (p *Path) Seconds(t Timing) []float64 {
	out := make([]float64, len(p.Moves))
	longest, from := 0, 0 // moves between two stops
	for i := range p.Moves {
		if k := p.Moves[i].Kind; k == Dwell || k == Pause {
			from = i + 1
		}
		longest = max(longest, i+1-from)
	}
	legs := make([]leg, 0, longest)
	var final Point // direction in which the leg before ends
	for i := range p.Moves {
		m := &p.Moves[i]
		if m.Kind == Dwell || m.Kind == Pause {
			out[i] = m.Seconds
			t.run(legs, out)
			legs = legs[:0]
			continue
		}
		l, first, last, ok := t.leg(m)
		if !ok {
			continue
		}
		l.move = i
		if n := len(legs); n > 0 && t.Acceleration > 0 {
			before := &legs[n-1]
			l.enter = min(before.speed, l.speed, t.cornerSpeed(final, first, min(before.length, l.length)/2))
		}
		legs, final = append(legs, l), last
	}
	t.run(legs, out)
	return out
}

// leg is a move between two stops.
type leg struct {
	move   int
	length float64 // mm
	speed  float64 // mm/s at most
	enter  float64 // mm/s at the start
}

// leg is the leg of a move and its directions, of length 1, at its two ends;
// false if it takes no time.
func (t Timing) leg(m *Move) (l leg, first, final Point, ok bool) {
	l = leg{length: m.Length(), speed: m.Feed / 60}
	if m.Kind == Rapid {
		l.speed = t.Travel / 60
	}
	if l.length == 0 || l.speed == 0 {
		return l, first, final, false
	}
	rise := math.Abs(m.To.Z - m.From.Z)
	if m.Helix == nil {
		first = Point{(m.To.X - m.From.X) / l.length, (m.To.Y - m.From.Y) / l.length, (m.To.Z - m.From.Z) / l.length}
		final = first
	} else {
		first, final = m.tangents(l.length)
		if m.Helix.Plane != 17 {
			rise = l.length // Z may move at full speed somewhere along the arc
		}
		if t.Acceleration > 0 {
			l.speed = min(l.speed, math.Sqrt(float64(t.Acceleration*m.Helix.Radius)))
		}
	}
	if most := float64(t.ZFeed*l.length) / 60; t.ZFeed > 0 && float64(l.speed*rise) > most {
		l.speed = most / rise
	}
	return l, first, final, true
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

// run computes the time of the legs between two stops.
func (t Timing) run(legs []leg, out []float64) {
	if len(legs) == 0 {
		return
	}
	if t.Acceleration <= 0 {
		for _, l := range legs {
			out[l.move] = l.length / l.speed
		}
		return
	}
	twice := 2 * t.Acceleration
	// No leg is entered faster than it can brake for the next, or than the one
	// before it can reach.
	next := 0.0
	for i := len(legs) - 1; i > 0; i-- {
		l := &legs[i]
		l.enter = min(l.enter, math.Sqrt(float64(next*next)+float64(twice*l.length)))
		next = l.enter
	}
	for i := range legs {
		l := &legs[i]
		leave := 0.0
		if i+1 < len(legs) {
			n := &legs[i+1]
			n.enter = min(n.enter, math.Sqrt(float64(l.enter*l.enter)+float64(twice*l.length)))
			leave = n.enter
		}
		out[l.move] = trapezoid(l.length, l.enter, leave, l.speed, t.Acceleration)
	}
}

// cornerSpeed is the speed (mm/s) at which a corner between two directions is
// taken: on the circle that touches both legs and passes within e = t.Corner of
// the corner, but touches them no farther than reach (mm) from it. With the
// angle q between the legs, the first has the radius e sin(q/2) / (1 - sin(q/2)),
// the second reach tan(q/2); common practice, no source.
func (t Timing) cornerSpeed(in, out Point, reach float64) float64 {
	cosine := float64(in.X*out.X) + float64(in.Y*out.Y) + float64(in.Z*out.Z) // of the turn, 180° less q
	sineHalf := math.Sqrt(max(0, 1+cosine) / 2)
	cosineHalf := math.Sqrt(max(0, 1-cosine) / 2)
	if cosineHalf < 1e-9 {
		return math.Inf(1)
	}
	radius := min(float64(t.Corner*sineHalf)/max(1-sineHalf, 1e-18), float64(reach*sineHalf)/cosineHalf)
	return math.Sqrt(float64(t.Acceleration * radius))
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
