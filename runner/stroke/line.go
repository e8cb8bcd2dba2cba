package stroke

import (
	"fmt"
	"math"
	"slices"

	"mahlstick/recipe/source"
	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
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
	// Distance before and behind over which a line's bend is taken, in grid
	// steps: nearer the grid's rounding would show.
	bendReach = plane.PerMM / 2
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
		out.problems.Errorf("width-formula", l.Place, "give a width that is a length from 0 to 1000 mm all along the line", "%v", err)
		return out
	}
	out.drawn = squareMM(swept(points))
	entry, exit := m.ends(t.length)
	for _, r := range m.runs(body(points, entry, t.length-exit)) {
		if r.level != thin || m.layer.Hairlines {
			m.promise(&out, r.points, l.Shape, l.Place)
		}
	}
	m.taper(points, t.length)
	var current []axis.Point
	flush := func() {
		if len(current) > 0 {
			out.gestures = append(out.gestures, Gesture{Kind: Line, Shape: l.Shape, Points: m.hand.path(current), Place: l.Place})
		}
		current = nil
	}
	s := 0.0
	for _, r := range m.runs(points) {
		long := length(r.points)
		// The brush comes down and lifts over a stretch of its own: nothing is
		// amiss there.
		inBody := s+long > entry && s < t.length-exit
		s += long
		switch {
		case r.level == wide:
			out.remark(m.excess(r, l))
		case r.level == thin && inBody:
			out.remark(m.lack(r, l))
			if !m.layer.Hairlines {
				flush()
				continue
			}
		}
		if n := len(current); n > 0 {
			r.points = r.points[1:]
		}
		current = append(current, r.points...)
	}
	if len(points) == 1 {
		current = points
	}
	flush()
	return out
}

// remark keeps a remark and counts its area.
func (p *piece) remark(r Remark) {
	p.remarks = append(p.remarks, r)
	p.refused[r.Reason] += r.Area
}

// excess is the remark for a stretch wider than the brush.
func (m *maker) excess(r run, l OpenLine) Remark {
	out := Remark{Reason: TooWide, Shape: l.Shape, Place: l.Place, Length: length(r.points) / plane.PerMM}
	for i, p := range r.points {
		if w := 2 * float64(p.R) / plane.PerMM; w > out.Width {
			out.Width, out.At = w, p.Plane()
		}
		if i > 0 {
			q := r.points[i-1]
			out.Area += squareMM(mul(distance(p, q), max(0, float64(p.R)+float64(q.R)-2*m.radius)))
		}
	}
	return out
}

// lack is the remark for a stretch thinner than the lightest mark.
func (m *maker) lack(r run, l OpenLine) Remark {
	place := measure(r.points)
	out := Remark{Reason: TooThin, Shape: l.Shape, Place: l.Place, At: place.at.Plane(), Length: place.length / plane.PerMM, Width: 2 * float64(place.at.R) / plane.PerMM}
	if !m.layer.Hairlines {
		// At its ends the round marks beside it reach over it.
		area := swept(r.points)
		for _, p := range [2]axis.Point{r.points[0], r.points[len(r.points)-1]} {
			if float64(p.R) >= m.narrow-1 {
				area -= mul(mul(m.narrow, m.narrow), math.Pi/2)
			}
		}
		out.Area = squareMM(max(area, 0))
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
			points[i].R = blend(int32(m.narrow), points[i].R, share)
		}
	}
}

// widths gives the points of a line with half its width as radius.
func (m *maker) widths(t *track, l OpenLine) ([]axis.Point, error) {
	set := func(out []axis.Point, p axis.Point, width float64) ([]axis.Point, error) {
		if !(width >= 0 && width <= widestLine) {
			return nil, fmt.Errorf("the width is %g mm at (%.2f, %.2f) mm on the sheet", width, plane.MM(p.X), plane.MM(p.Y))
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
			width, fault := formula.WidthAt(share, s/plane.PerMM, t.length/plane.PerMM, t.bend(s))
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
		if out, err = set(out, t.at(s), a+mul(share, b-a)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// track measures a polyline by the distance from its start, in grid steps.
type track struct {
	points []plane.Point
	index  []int     // of each point in the line as drawn
	from   []float64 // distance of each point from the start
	length float64
}

// newTrack is nil for a line without points.
func newTrack(points []plane.Point) *track {
	t := &track{}
	for i, p := range points {
		if n := len(t.points); n == 0 || t.points[n-1] != p {
			if n > 0 {
				dx, dy := float64(p.X)-float64(t.points[n-1].X), float64(p.Y)-float64(t.points[n-1].Y)
				t.length += math.Sqrt(mul(dx, dx) + mul(dy, dy))
			}
			t.points, t.index, t.from = append(t.points, p), append(t.index, i), append(t.from, t.length)
		}
	}
	if len(t.points) == 0 {
		return nil
	}
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

// bend is the curvature at distance s, in 1/mm, positive to the left: that of
// the circle through three points of the line (K. Menger, Mathematische Annalen
// 103, 1930, 466-501).
func (t *track) bend(s float64) float64 {
	reach := min(bendReach, t.length/2)
	s = min(max(s, reach), t.length-reach)
	a, b, c := t.at(s-reach), t.at(s), t.at(s+reach)
	ab, bc, ca := distance(a, b), distance(b, c), distance(c, a)
	if ab == 0 || bc == 0 || ca == 0 {
		return 0
	}
	turn := float64(plane.Turn(a.Plane(), b.Plane(), c.Plane()))
	return mul(2*turn/ab/bc/ca, plane.PerMM)
}
