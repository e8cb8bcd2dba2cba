// Package detour finds the quickest way of a lifted brush between two places:
// straight, round what stands in its way, or over it.
//
// Places are those of the machine's axes, heights those of the tip, all in grid
// steps.
package detour

import (
	"math"
	"slices"

	"mahlstick/runner/plane"
)

// Obstacle is a convex box that stands on the bed.
type Obstacle struct {
	Corners []plane.Point
	Top     int32
}

// Body is what moves: the brush and, above it, its holder, as boxes around the
// machine's axis.
type Body struct {
	Brush, Holder plane.Box
	Under         int32 // how far the lower side of the holder is above the tip
	Clear         int32 // what is kept clear beside and above obstacles
}

// Motion is how a machine moves lifted: the feed (mm/min) and acceleration (mm/s²)
// along its way, and those of X, Y and Z; 0 for what has no limit.
type Motion struct {
	Travel, Along      float64
	Feed, Acceleration [3]float64
}

// Field is what stands in the way of a body. It is not safe for use by several
// goroutines at a time.
type Field struct {
	obstacles []Obstacle
	body      Body
	motion    Motion
	reach     plane.Box
	step      int32
	levels    map[int32]*level
}

// New is a field within the reach of the axes; ways lead by places that are
// multiples of step.
func New(obstacles []Obstacle, body Body, motion Motion, reach plane.Box, step int32) *Field {
	return &Field{obstacles, body, motion, reach, step, map[int32]*level{}}
}

const (
	// spare (grid steps) is kept clear beside obstacles besides, because places are
	// rounded.
	spare = 100
	// corner (grid steps) is how far from what must stay clear a way turns.
	corner = 100
)

// level is what is in the way at one height of the tip.
type level struct {
	walls  []wall
	places []plane.Point // by which ways may lead
	sees   [][]bool      // whether the way from one of them to another is free
}

// wall is where the axis must not be because of an obstacle.
type wall struct {
	obstacle int
	ring     []plane.Point // counter-clockwise
	box      plane.Box
}

// at is what is in the way at a height.
func (f *Field) at(z int32) *level {
	if l := f.levels[z]; l != nil {
		return l
	}
	l := &level{}
	f.levels[z] = l
	for i, o := range f.obstacles {
		top := int64(o.Top) + int64(f.body.Clear)
		var body plane.Box
		switch {
		case top > int64(z)+int64(f.body.Under):
			body = f.body.Holder.Union(f.body.Brush)
		case top > int64(z):
			body = f.body.Brush
		default:
			continue
		}
		ring := grown(o.Corners, body, f.body.Clear+spare)
		l.walls = append(l.walls, wall{i, ring, plane.Bounds(ring)})
		for _, p := range grown(o.Corners, body, f.body.Clear+spare+corner) {
			l.places = append(l.places, plane.Point{X: f.round(p.X), Y: f.round(p.Y)})
		}
	}
	l.places = slices.DeleteFunc(l.places, func(p plane.Point) bool { return !f.reach.Has(p) || l.blocked(p, p) >= 0 })
	l.sees = make([][]bool, len(l.places))
	for i := range l.sees {
		l.sees[i] = make([]bool, len(l.places))
		for k := range i {
			free := l.blocked(l.places[i], l.places[k]) < 0
			l.sees[i][k], l.sees[k][i] = free, free
		}
	}
	return l
}

// round rounds a coordinate to a multiple of the step.
func (f *Field) round(v int32) int32 {
	if v < 0 {
		return -((-v + f.step/2) / f.step * f.step)
	}
	return (v + f.step/2) / f.step * f.step
}

// grown is where the axis is while a body touches an obstacle or comes nearer
// than is clear: the sum of the obstacle and the body seen from it.
func grown(corners []plane.Point, body plane.Box, clear int32) []plane.Point {
	var points []plane.Point
	for _, c := range corners {
		points = append(points,
			plane.Point{X: c.X - body.Min.X + clear, Y: c.Y - body.Min.Y + clear}, plane.Point{X: c.X - body.Max.X - clear, Y: c.Y - body.Min.Y + clear},
			plane.Point{X: c.X - body.Max.X - clear, Y: c.Y - body.Max.Y - clear}, plane.Point{X: c.X - body.Min.X + clear, Y: c.Y - body.Max.Y - clear})
	}
	return plane.Hull(points)
}

// Blocked is the obstacle that is in the way of the tip on a straight way at a
// height, -1 for none.
func (f *Field) Blocked(a, b plane.Point, z int32) int { return f.at(z).blocked(a, b) }

func (l *level) blocked(a, b plane.Point) int {
	box := plane.Bounds([]plane.Point{a, b})
	for i := range l.walls {
		if w := &l.walls[i]; w.box.Overlaps(box) && cuts(w.ring, a, b) {
			return w.obstacle
		}
	}
	return -1
}

// cuts reports whether a segment, or a point, has a part inside a convex ring.
// Two convex figures are apart if and only if a line along a side of one of them
// parts them.
func cuts(ring []plane.Point, a, b plane.Point) bool {
	left, right := false, false
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		if plane.Turn(p, q, a) <= 0 && plane.Turn(p, q, b) <= 0 {
			return false
		}
		side := plane.Turn(a, b, p)
		left, right = left || side > 0, right || side < 0
	}
	return a == b || left && right
}

// Over is the least height at which nothing is in the way anywhere.
func (f *Field) Over() int32 {
	high := int32(math.MinInt32)
	for _, o := range f.obstacles {
		high = max(high, f.up(o.Top+f.body.Clear))
	}
	return high
}

// up is the least multiple of the step that is not less.
func (f *Field) up(v int32) int32 {
	n := f.round(v)
	if n < v {
		n += f.step
	}
	return n
}

// Heights are a height and those above it, up to a highest, at which less is in
// the way.
func (f *Field) Heights(lowest, highest int32) []int32 {
	out := []int32{lowest}
	for _, o := range f.obstacles {
		for _, z := range [...]int32{f.up(o.Top + f.body.Clear), f.up(o.Top + f.body.Clear - f.body.Under)} {
			if z > lowest && z <= highest {
				out = append(out, z)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Trip is from a place and height to another.
type Trip struct {
	From, To   plane.Point
	FromZ, ToZ int32
}

// Way is how a trip is made: straight up or down to a height, by places at that
// height, and straight up or down.
type Way struct {
	Z       int32
	Via     []plane.Point
	Seconds float64 // if the machine stops at each place
}

// Length of the way across, in grid steps.
func (w *Way) Length(t Trip) float64 {
	length, at := 0.0, t.From
	for _, p := range append(slices.Clone(w.Via), t.To) {
		length += plane.Distance(at, p)
		at = p
	}
	return length
}

// Quickest is the quickest way of a trip at one of the heights, the first of them
// if several are as quick; false if at none there is a way.
func (f *Field) Quickest(t Trip, heights []int32) (best Way, ok bool) {
	for _, z := range heights {
		w, free := f.at(z).way(f, t.From, t.To)
		if !free {
			continue
		}
		w.Z = z
		w.Seconds += f.seconds(0, 0, z-t.FromZ) + f.seconds(0, 0, z-t.ToZ)
		if !ok || w.Seconds < best.Seconds {
			best, ok = w, true
		}
	}
	return best, ok
}

// way is the quickest way at a level, by the method of E. W. Dijkstra, Numerische
// Mathematik 1 (1959) 269-271, through the corners of what is in the way.
func (l *level) way(f *Field, from, to plane.Point) (Way, bool) {
	if l.blocked(from, to) < 0 {
		return Way{Seconds: f.across(from, to)}, true
	}
	if l.blocked(from, from) >= 0 || l.blocked(to, to) >= 0 {
		return Way{}, false
	}
	s := search{l, f, make([]float64, len(l.places)), make([]int, len(l.places)), make([]bool, len(l.places))}
	for i, p := range l.places {
		s.best[i], s.before[i] = math.Inf(1), -1
		if l.blocked(from, p) < 0 {
			s.best[i] = f.across(from, p)
		}
	}
	w := Way{Seconds: math.Inf(1)}
	last := -1
	for at := s.next(w.Seconds); at >= 0; at = s.next(w.Seconds) {
		if l.blocked(l.places[at], to) < 0 {
			if seconds := s.best[at] + f.across(l.places[at], to); seconds < w.Seconds {
				w.Seconds, last = seconds, at
			}
		}
		s.goOn(at)
	}
	for i := last; i >= 0; i = s.before[i] {
		w.Via = append(w.Via, l.places[i])
	}
	slices.Reverse(w.Via)
	return w, last >= 0
}

// search is what is known so far of the ways to the places of a level.
type search struct {
	*level
	field  *Field
	best   []float64 // s
	before []int     // the place before it, -1 for the first
	done   []bool
}

// next is the nearest place whose ways were not followed yet, -1 if none is nearer
// than so many seconds.
func (s *search) next(within float64) int {
	at := -1
	for i, best := range s.best {
		if !s.done[i] && best < within {
			at, within = i, best
		}
	}
	return at
}

// goOn follows the ways from a place.
func (s *search) goOn(at int) {
	s.done[at] = true
	for i := range s.places {
		if s.done[i] || !s.sees[at][i] {
			continue
		}
		if seconds := s.best[at] + s.field.across(s.places[at], s.places[i]); seconds < s.best[i] {
			s.best[i], s.before[i] = seconds, at
		}
	}
}

func (f *Field) across(a, b plane.Point) float64 { return f.seconds(b.X-a.X, b.Y-a.Y, 0) }

// seconds is the time of a straight move that begins and ends at rest.
func (f *Field) seconds(dx, dy, dz int32) float64 {
	way := [3]float64{math.Abs(plane.MM(dx)), math.Abs(plane.MM(dy)), math.Abs(plane.MM(dz))}
	length := math.Sqrt(float64(way[0]*way[0]) + float64(way[1]*way[1]) + float64(way[2]*way[2]))
	if length == 0 {
		return 0
	}
	limit := func(least, of, share float64) float64 {
		if of == 0 || share == 0 {
			return least
		}
		return min(least, of/share)
	}
	speed, acceleration := limit(math.Inf(1), f.motion.Travel/60, 1), limit(math.Inf(1), f.motion.Along, 1)
	for i, w := range way {
		speed, acceleration = limit(speed, f.motion.Feed[i]/60, w/length), limit(acceleration, f.motion.Acceleration[i], w/length)
	}
	if math.IsInf(acceleration, 1) {
		return length / speed
	}
	if length < float64(speed*speed)/acceleration {
		return 2 * math.Sqrt(length/acceleration)
	}
	return length/speed + speed/acceleration
}
