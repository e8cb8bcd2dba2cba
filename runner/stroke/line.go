package stroke

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
	"mahlstick/runner/vector"
)

// OpenLine is an open centre line on the sheet.
type OpenLine struct {
	Points []plane.Point
	Widths []float64 // mm, one a point; nil where the layer's formula gives them
	Shape  int       // the line's number among everything drawn on the layer, from 0
	Place  source.Place
}

const (
	// Distance at which a width formula is asked, in grid steps; long lines
	// are asked no more than mostSamples times.
	sampleStep  = plane.PerMM / 4
	mostSamples = 20000
	// Widest line that is taken for meant, in mm.
	widestLine = 1000.0
)

// line plans one open line. A width formula of the layer is heard first, then
// the drawing's widths.
func (m *maker) line(l OpenLine) piece {
	var out piece
	t := newTrack(l.Points)
	if t == nil {
		out.remarks = append(out.remarks, Remark{Reason: TooSmall, Shape: l.Shape, Place: l.Place})
		return out
	}
	points, err := m.widths(t, l)
	if err != nil {
		p := problem.Problem{Code: problem.WidthFormula, Place: l.Place, Message: err.Error(), Fix: problem.Advise("give a width that is a length from 0 to 1000 mm all along the line")}
		if m.layer.Width != nil {
			p.Fix = p.Fix.Or(", as greatest(0*mm, ...) is never less than 0")
			if m.layer.Place.Known() {
				p.Related = []problem.Related{{Place: m.layer.Place, Note: "the formula stands in the column width of this layer"}}
			}
		}
		out.problems.Add(p)
		return out
	}
	entry, exit := m.ends(t.length)
	for _, r := range m.runs(body(points, entry, t.length-exit)) {
		if r.level != thin || m.layer.Hairlines {
			m.promise(&out, r.points, l.Shape, l.Place)
		}
	}
	m.taper(points, t.length)
	out.stated = stated(points, l)
	closed := len(points) > 1 && points[0].Plane() == points[len(points)-1].Plane()
	runs := m.runs(points)
	if len(points) == 1 {
		runs = m.settle([]run{{m.level(float64(points[0].R)), points}})
	}
	var current, whole []axis.Point
	painted := 0.0
	flush := func() {
		if len(current) > 0 {
			painted += marks(m.clamped(current), closed && len(current) == len(whole))
			out.gestures = append(out.gestures, Gesture{Kind: Line, Shape: l.Shape, Points: m.hand.path(current), Place: l.Place})
		}
		current = nil
	}
	follow := func(path, more []axis.Point) []axis.Point {
		if len(path) > 0 {
			more = more[1:]
		}
		return append(path, more...)
	}
	s := 0.0
	for _, r := range runs {
		long := length(r.points)
		// The brush comes down and lifts over a stretch of its own: nothing is
		// amiss there.
		inBody := s+long > entry && s < t.length-exit || len(points) == 1
		s += long
		whole = follow(whole, r.points)
		switch {
		case r.level == wide:
			out.remarks = append(out.remarks, m.excess(r, l))
		case r.level == thin && inBody:
			out.remarks = append(out.remarks, m.lack(r, l))
			if !m.layer.Hairlines {
				flush()
				continue
			}
		}
		current = follow(current, r.points)
	}
	flush()
	// Where a line crosses itself its discs, each counted, may be more than the
	// wider ones that swallow it.
	all := marks(whole, closed)
	within := min(marks(m.clamped(whole), closed), all)
	painted = min(painted, within)
	out.drawn = squareMM(all)
	out.apportion(TooWide, squareMM(all-within))
	out.apportion(TooThin, squareMM(within-painted))
	return out
}

// clamped are points with radii that the brush can paint.
func (m *maker) clamped(points []axis.Point) []axis.Point {
	out := slices.Clone(points)
	for i := range out {
		out[i].R = min(out[i].R, int32(m.radius+0.5))
	}
	return out
}

// marks is the area of all discs along a path, in square grid steps; where the
// path crosses itself it counts twice. Where the width jumps, the narrower part
// counts up to the greater disc.
func marks(points []axis.Point, closed bool) float64 {
	sum := 0.0
	nan := [2]float64{math.NaN(), math.NaN()}
	piece := stretch{ends: [2]joint{tip, tip}, slopes: nan}
	if closed {
		piece.ends = [2]joint{meeting, meeting}
	}
	until := piece.ends[1]
	finish := func(end joint) {
		piece.ends[1] = end
		switch n := len(piece.points); {
		case n == 1 && piece.ends[0] == tip && end == tip:
			sum += mul(arith.Pi, mul(float64(piece.points[0].R), float64(piece.points[0].R)))
		case n > 1:
			sum += max(piece.bare(), 0)
		}
	}
	inside := axis.Point{R: -1} // the last point in the disc of the piece's last
	for _, p := range points {
		for n := len(piece.points); n > 0 && swallows(p, piece.points[n-1]); n = len(piece.points) {
			b := piece.points[n-1]
			if piece.points = piece.points[:n-1]; n == 1 {
				piece.ends[0] = tip
				break
			}
			if a := piece.points[n-2]; !swallows(p, a) {
				piece.points = append(piece.points, leaving(p, b, a))
				finish(meeting)
				piece = stretch{ends: [2]joint{tip, tip}, slopes: nan}
				break
			}
		}
		if n := len(piece.points); n > 0 {
			last := piece.points[n-1]
			if swallows(last, p) {
				inside = p
				continue
			}
			if inside.R >= 0 {
				finish(tip)
				piece = stretch{points: []axis.Point{leaving(last, inside, p)}, ends: [2]joint{meeting, tip}, slopes: nan}
			}
		}
		inside.R = -1
		piece.points = append(piece.points, p)
	}
	if inside.R >= 0 {
		until = tip
	}
	finish(until)
	return sum
}

// swallows says whether the width of a mark at q lies in the disc of p.
func swallows(p, q axis.Point) bool {
	d, r, big := distance(p, q), float64(q.R), float64(p.R)
	return r < big && mul(d, d)+mul(r, r) <= mul(big, big)
}

// leaving is where the path from a point that p swallows to one that it does
// not leaves the disc of p.
func leaving(p, from, to axis.Point) axis.Point {
	low, high := 0.0, 1.0
	for range 30 {
		if t := (low + high) / 2; swallows(p, between(from, to, t)) {
			low = t
		} else {
			high = t
		}
	}
	return between(from, to, high)
}

// apportion makes the areas of all remarks of a reason, which were taken along
// the path, come to what is not painted for it.
func (p *piece) apportion(reason Reason, area float64) {
	sum := 0.0
	for _, r := range p.remarks {
		if r.Reason == reason {
			sum += r.Area
		}
	}
	if sum <= 0 {
		return
	}
	p.refused[reason] = area
	for i := range p.remarks {
		if r := &p.remarks[i]; r.Reason == reason {
			r.Area = mul(r.Area, p.refused[reason]/sum)
		}
	}
}

// stated is the line as the recipe and the drawing want it, whatever the brush
// can do.
func stated(points []axis.Point, l OpenLine) Gesture {
	g := Gesture{Kind: Line, Shape: l.Shape, Points: make([]Point, len(points)), Place: l.Place}
	for i, p := range points {
		g.Points[i] = Point{X: p.X, Y: p.Y, Width: 2 * float64(p.R) / plane.PerMM}
	}
	return g
}

// remark keeps a remark and counts its area.
func (p *piece) remark(r Remark) {
	p.remarks = append(p.remarks, r)
	p.refused[r.Reason] += r.Area
}

// excess is the remark for a stretch wider than the brush.
func (m *maker) excess(r run, l OpenLine) Remark {
	out := Remark{Reason: TooWide, Shape: l.Shape, Place: l.Place, Length: length(r.points) / plane.PerMM}
	for _, p := range r.points {
		if w := 2 * float64(p.R) / plane.PerMM; w > out.Width {
			out.Width, out.At = w, p.Plane()
		}
	}
	out.Area = squareMM(max(marks(r.points, false)-marks(m.clamped(r.points), false), 0))
	return out
}

// lack is the remark for a stretch thinner than the lightest mark.
func (m *maker) lack(r run, l OpenLine) Remark {
	place := measure(r.points)
	out := Remark{Reason: TooThin, Shape: l.Shape, Place: l.Place, At: place.at.Plane(), Length: place.length / plane.PerMM, Width: 2 * float64(place.at.R) / plane.PerMM}
	if !m.layer.Hairlines {
		out.Area = squareMM(marks(r.points, false))
	}
	return out
}

// ends gives the lengths, in grid steps, over which a line of a length comes
// down and lifts; where both together are longer than the line, they share it.
func (m *maker) ends(length float64) (entry, exit float64) {
	entry, exit = mul(max(m.layer.Brush.Entry, 0), plane.PerMM), mul(max(m.layer.Brush.Exit, 0), plane.PerMM)
	if sum := entry + exit; sum > length {
		entry, exit = mul(entry, length/sum), mul(exit, length/sum)
	}
	return entry, exit
}

// body gives the points of a path from one distance along it to another; there
// are points at both.
func body(points []axis.Point, from, to float64) []axis.Point {
	var out []axis.Point
	s := 0.0
	for i, p := range points {
		if i > 0 {
			s += distance(points[i-1], p)
		}
		if s > from-2 && s < to+2 {
			out = append(out, p)
		}
	}
	return out
}

// taper makes a line swell from the lightest mark over its entry and fade to
// it over its exit.
func (m *maker) taper(points []axis.Point, long float64) {
	entry, exit := m.ends(long)
	s := 0.0
	for i := range points {
		if i > 0 {
			s += distance(points[i-1], points[i])
		}
		share := 1.0
		if s < entry {
			share = s / entry
		}
		if rest := long - s; rest < exit {
			share = min(share, max(rest, 0)/exit)
		}
		if r := float64(points[i].R); share < 1 && r > m.narrow {
			points[i].R = plane.Lerp(int32(m.narrow), points[i].R, share)
		}
	}
}

// widths gives the points of a line with half its width as radius.
func (m *maker) widths(t *track, l OpenLine) ([]axis.Point, error) {
	set := func(out []axis.Point, p axis.Point, width float64) ([]axis.Point, error) {
		if !(width >= 0 && width <= widestLine) {
			return nil, fmt.Errorf("the width is %.3g mm at (%.2f, %.2f) mm on the sheet", width, plane.MM(p.X), plane.MM(p.Y))
		}
		p.R = int32(mul(width, plane.PerMM/2) + 0.5)
		return append(out, p), nil
	}
	entry, exit := m.ends(t.length)
	var out []axis.Point
	var err error
	if formula := m.layer.Width; formula != nil {
		for _, s := range t.samples(entry, t.length-exit) {
			share := 0.0
			if t.length > 0 {
				share = s / t.length
			}
			width, fault := formula.WidthAt(l.Shape, share, s/plane.PerMM, t.length/plane.PerMM, t.bend(s))
			if fault != nil {
				return nil, fault
			}
			if out, err = set(out, t.at(s), width); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	if len(l.Widths) != len(l.Points) {
		return nil, fmt.Errorf("the line has no width, neither in the drawing nor on the layer")
	}
	for _, s := range t.stops(entry, t.length-exit) {
		i, share := t.locate(s)
		a, b := l.Widths[t.index[i]], l.Widths[t.index[min(i+1, len(t.index)-1)]]
		if out, err = set(out, t.at(s), vector.Lerp(a, b, share)); err != nil {
			return nil, err
		}
	}
	return out, nil
}
