package proof

import "math"

// Linger is a place on the paper where the machine is slower than its program
// says, because of a corner.
type Linger struct {
	Stroke  int // from 0
	Move    int // that ends there
	Line    int
	At      Point
	Width   float64 // of the mark there, mm
	Slowest float64 // mm/min
	// Seconds is by how much longer than at the feed the brush takes over the
	// length of its mark there, which is taken to be as long as it is wide (common
	// practice, no source).
	Seconds float64
}

// lingerShare is the share of its feed below which the machine lingers.
const lingerShare = 0.5

// Lingers are the places where the brush moves along the paper at less than half
// its feed, although its program does not say so; of places within a mark of
// each other the worst. Without a brush there are none.
func (p *Path) Lingers(t Timing, brush *Brush) []Linger {
	if brush == nil {
		return nil
	}
	l := lingering{path: p, drive: drive{Timing: t, seconds: make([]float64, len(p.Moves)), ends: make([][2]float64, len(p.Moves))}}
	l.drive.along(p)
	var out []Linger
	stroke, last, along := -1, -1, 0.0
	p.contact(false, func(c segment) {
		if c.begins {
			stroke, last = stroke+1, -1
		}
		along += c.length
		next := c.move + 1
		if c.move == last || !l.drawn(c.move) || next == len(p.Moves) || !l.drawn(next) {
			return
		}
		last = c.move
		m, feed := &p.Moves[c.move], min(p.Moves[c.move].Feed, p.Moves[next].Feed)
		speed := float64(60 * l.drive.ends[c.move][1])
		if speed >= float64(lingerShare*feed) {
			return
		}
		width := brush.Width(-m.To.Z)
		found := Linger{Stroke: stroke, Move: c.move, Line: p.Moves[next].Line, At: m.To, Width: width, Slowest: speed,
			Seconds: l.lost(c.move, -1, width/2) + l.lost(next, 1, width/2)}
		if n := len(out); n > 0 && out[n-1].Stroke == stroke && along-l.at < max(width, out[n-1].Width) {
			if found.Seconds > out[n-1].Seconds {
				out[n-1], l.at = found, along
			}
			return
		}
		out, l.at = append(out, found), along
	})
	return out
}

// lingering finds where a machine lingers.
type lingering struct {
	path  *Path
	drive drive
	at    float64 // mm along all marks to the place found last
}

// drawn reports whether a move draws along the paper from end to end.
func (l *lingering) drawn(i int) bool {
	m := &l.path.Moves[i]
	return (m.Kind == Feed || m.Kind == Arc) && m.across() && m.From.Z <= 0 && m.To.Z <= 0
}

// lost is by how many s the moves from one on, forwards or backwards, take longer
// over a length in mm than at their feeds.
func (l *lingering) lost(from, direction int, length float64) float64 {
	sum := 0.0
	for i := from; i >= 0 && i < len(l.path.Moves) && length > 0 && l.drawn(i); i += direction {
		leg, c, ok := l.drive.leg(&l.path.Moves[i])
		if !ok {
			continue
		}
		enter, leave := l.drive.ends[i][0], l.drive.ends[i][1]
		if direction < 0 { // seen from its end
			enter, leave = leave, enter
		}
		part := min(length, leg.length)
		sum += leg.timeTo(part, enter, leave, c.acceleration) - float64(60*part)/l.path.Moves[i].Feed
		length -= part
	}
	return sum
}

// timeTo is the time in s from the start of a leg to a way along it, in mm, if it
// is entered and left at the given speeds (mm/s) with an acceleration (mm/s²).
func (l *leg) timeTo(way, enter, leave, a float64) float64 {
	if a <= 0 {
		return way / l.speed
	}
	in, out := float64(enter*enter), float64(leave*leave)
	peak := min(l.speed, math.Sqrt(float64(a*l.length)+(in+out)/2))
	top := float64(peak * peak)
	rises, falls := (top-in)/float64(2*a), l.length-(top-out)/float64(2*a)
	switch {
	case way <= rises:
		return (math.Sqrt(in+float64(float64(2*a)*way)) - enter) / a
	case way <= falls:
		return (peak-enter)/a + (way-rises)/peak
	}
	return trapezoid(l.length, enter, leave, l.speed, a) - (math.Sqrt(out+float64(float64(2*a)*(l.length-way)))-leave)/a
}
