package stroke

import (
	"fmt"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/problem"
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
		p := problem.Problem{Code: "width-formula", Place: l.Place, Message: err.Error(), Mend: "give a width that is a length from 0 to 1000 mm all along the line"}
		if m.layer.Width != nil {
			p.Mend += ", as greatest(0*mm, ...) is never less than 0"
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
	ends := [2]bool{true, true} // that are round
	if n := len(points); n > 1 && points[0].Plane() == points[n-1].Plane() {
		ends = [2]bool{}
	}
	out.drawn = squareMM(swept(points) + round(points, ends, 0))
	var current []axis.Point
	flush := func() {
		if len(current) > 0 {
			out.gestures = append(out.gestures, Gesture{Kind: Line, Shape: l.Shape, Points: m.hand.path(current), Place: l.Place})
		}
		current = nil
	}
	s := 0.0
	runs := m.runs(points)
	if len(points) == 1 {
		runs = m.settle([]run{{m.level(float64(points[0].R)), points}})
	}
	for i, r := range runs {
		long := length(r.points)
		ends := [2]bool{ends[0] && i == 0, ends[1] && i == len(runs)-1}
		// The brush comes down and lifts over a stretch of its own: nothing is
		// amiss there.
		inBody := s+long > entry && s < t.length-exit || len(points) == 1
		s += long
		switch {
		case r.level == wide:
			out.remark(m.excess(r, l, ends))
		case r.level == thin && inBody:
			out.remark(m.lack(r, l, ends))
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
	flush()
	return out
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

// round is the area of the round ends of a path, each half a disc, less that of
// half a disc of radius less, in square grid steps.
func round(points []axis.Point, ends [2]bool, less float64) float64 {
	sum := 0.0
	for i, p := range [2]axis.Point{points[0], points[len(points)-1]} {
		if r := float64(p.R); ends[i] && r > less {
			sum += mul(mul(r, r)-mul(less, less), arith.Pi/2)
		}
	}
	return sum
}

// remark keeps a remark and counts its area.
func (p *piece) remark(r Remark) {
	p.remarks = append(p.remarks, r)
	p.refused[r.Reason] += r.Area
}

// excess is the remark for a stretch wider than the brush.
func (m *maker) excess(r run, l OpenLine, ends [2]bool) Remark {
	out := Remark{Reason: TooWide, Shape: l.Shape, Place: l.Place, Length: length(r.points) / plane.PerMM, Area: squareMM(round(r.points, ends, m.radius))}
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
func (m *maker) lack(r run, l OpenLine, ends [2]bool) Remark {
	place := measure(r.points)
	out := Remark{Reason: TooThin, Shape: l.Shape, Place: l.Place, At: place.at.Plane(), Length: place.length / plane.PerMM, Width: 2 * float64(place.at.R) / plane.PerMM}
	if !m.layer.Hairlines {
		// At its ends the round marks beside it reach over it.
		area := swept(r.points) + round(r.points, ends, 0)
		for _, p := range [2]axis.Point{r.points[0], r.points[len(r.points)-1]} {
			if float64(p.R) >= m.narrow-1 {
				area -= mul(mul(m.narrow, m.narrow), arith.Pi/2)
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
		if out, err = set(out, t.at(s), a+mul(share, b-a)); err != nil {
			return nil, err
		}
	}
	return out, nil
}
